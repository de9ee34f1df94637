// Every number to the last bit: the scanner's quick path and the slower one against the language's own parser, which
// ECMA-262 (StringToNumber) requires to round correctly up to 20 digits and V8 rounds correctly always.
import assert from 'node:assert/strict';
import { DecimalReader } from '../../../src/core/table/decimal.ts';
import { bytesOf, headerOf, scan, seeded } from './scanning.ts';

/** NaN unless the whole text is a number. */
function decimalNumber(bytes: Uint8Array, from: number, to: number, mark?: number): number {
  const reader = new DecimalReader(mark);
  const value = reader.read(bytes, from, to);
  return reader.end === to ? value : NaN;
}

const random = seeded(20_260_302);
const digits = (count: number): string => Array.from({ length: count }, () => Math.floor(random() * 10)).join('');
const upTo = (most: number): number => Math.floor(random() * (most + 1));
const sign = (): string => ['', '', '-', '+'][upTo(3)]!;

/** Kinds of decimal as loggers write them, the odd ones too. */
const writers: readonly (() => string)[] = [
  () => `${sign()}${digits(1 + upTo(4))}.${digits(1 + upTo(4))}`,
  () => `${sign()}${digits(1 + upTo(8))}`,
  () => `${sign()}${digits(1 + upTo(9))}.${digits(upTo(9))}`,
  () => `${digits(4)}.${digits(4 + upTo(4))}`,
  () => String((random() - 0.5) * 10 ** (upTo(40) - 20)),
  () => ((random() - 0.5) * 10 ** upTo(6)).toExponential(upTo(20)),
  () => `${sign()}${digits(1 + upTo(24))}.${digits(upTo(24))}`,
  () => `${sign()}${digits(1 + upTo(20))}e${['', '-', '+'][upTo(2)]!}${upTo(330)}`,
  () => `.${'0'.repeat(upTo(25))}${digits(1 + upTo(18))}`,
  () => `${digits(1 + upTo(5))}${'0'.repeat(upTo(25))}`,
  () => (1500 + random() * 100).toFixed(upTo(14)),
  () => randomDouble(),
  () => halfwayBetweenDoubles(),
  () => `${2n ** BigInt(50 + upTo(2)) + BigInt(upTo(2 ** 50))}.${['5', '25', '75', '125', '500'][upTo(4)]!}`,
  () => `${2n ** 52n + BigInt(upTo(2 ** 52))}5e-${1 + upTo(3)}`,
];

const view = new DataView(new ArrayBuffer(8));

/** Any finite double at all, in its shortest form. */
function randomDouble(): string {
  view.setUint32(0, upTo(0xffff_ffff));
  view.setUint32(4, upTo(0xffff_ffff));
  const value = view.getFloat64(0);
  return Number.isFinite(value) ? String(value) : '0';
}

/** The exact midpoint of two neighbouring integers beyond 2^53: the hardest cases to round. */
function halfwayBetweenDoubles(): string {
  const shift = BigInt(1 + upTo(60));
  const whole = (2n ** 52n + BigInt(upTo(2 ** 52 - 1))) << shift;
  return String(whole + (1n << (shift - 1n)) + BigInt(upTo(2) - 1));
}

describe('decimal numbers', () => {
  it('are read by the scanner to the last bit: two million in many forms', () => {
    const perRow = 50;
    const header = headerOf(Array.from({ length: perRow }, (_, c) => `c${c}`));
    for (let batch = 0; batch < 40; batch++) {
      const texts = Array.from({ length: 1000 }, (_, row) =>
        Array.from({ length: perRow }, (_, c) => writers[(row + c * batch) % writers.length]!()),
      );
      const { rows } = scan(header, texts.map((row) => `${row.join(',')}\n`).join(''), { blockRows: 1000 });
      assert.equal(rows.length, texts.length);
      texts.forEach((row, r) =>
        row.forEach((text, c) => {
          const expected = Number(text);
          const got = rows[r]!.values[c]!;
          if (!Object.is(got, Number.isFinite(expected) ? expected : NaN)) assert.fail(`${text}: got ${got}`);
        }),
      );
    }
  });

  it('are read from bytes alone to the last bit: half a million', () => {
    for (let i = 0; i < 500_000; i++) {
      const text = writers[i % writers.length]!();
      const bytes = bytesOf(text);
      if (!Object.is(decimalNumber(bytes, 0, bytes.length), Number(text))) assert.fail(text);
    }
  });

  it('withstand published hard cases', () => {
    // Halfway and subnormal cases: V. Paxson, A program for testing IEEE decimal-binary conversion (1991), table 1 and
    // 3 (from memory); 2.2250738585072012e-308 hung PHP and Java in 2011 (CVE-2010-4476, CVE-2010-4645).
    const cases: readonly (readonly [string, bigint])[] = [
      ['5e-324', 0x1n],
      ['2.2250738585072012e-308', 0x0010_0000_0000_0000n],
      ['2.2250738585072011e-308', 0x000f_ffff_ffff_ffffn],
      ['1.7976931348623157e308', 0x7fef_ffff_ffff_ffffn],
      ['9007199254740993', 0x4340_0000_0000_0000n],
      ['9007199254740995', 0x4340_0000_0000_0002n],
      ['0.1', 0x3fb9_9999_9999_999an],
      ['1', 0x3ff0_0000_0000_0000n],
      ['-0', 0x8000_0000_0000_0000n],
    ];
    for (const [text, bits] of cases) {
      const bytes = bytesOf(text);
      view.setFloat64(0, decimalNumber(bytes, 0, bytes.length));
      assert.equal(view.getBigUint64(0), bits, text);
    }
  });

  it('take a decimal comma', () => {
    const bytes = bytesOf('-1550,1201000000000000001e-2');
    assert.equal(decimalNumber(bytes, 0, bytes.length, 44), -15.501201);
    assert.ok(Number.isNaN(decimalNumber(bytesOf('1.5'), 0, 3, 44)));
  });

  it('are nothing else', () => {
    for (const text of [
      '',
      '+',
      '-',
      '.',
      'e5',
      '1e',
      '1e+',
      '1e5.',
      '1..2',
      '1,5',
      '0x10',
      'Infinity',
      'nan',
      '1 ',
      ' 1',
      '1_0',
      '1e5e5',
      '٣',
    ]) {
      const bytes = bytesOf(text);
      assert.ok(Number.isNaN(decimalNumber(bytes, 0, bytes.length)), text);
    }
  });
});
