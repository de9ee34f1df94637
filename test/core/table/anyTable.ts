// Tables of all that may stand in one: columns time, a, phase, remark, b; good rows, wrong ones, odd numbers, line ends.
import fc from 'fast-check';

const decimalText = fc.oneof(
  fc.double({ noNaN: true, noDefaultInfinity: true }).map(String),
  fc.tuple(fc.integer({ min: -99_999, max: 99_999 }), fc.integer({ min: 0, max: 999 })).map(([w, f]) => `${w}.${f}`),
  fc.integer().map(String),
  fc.tuple(fc.bigInt({ min: 0n, max: 10n ** 30n }), fc.integer({ min: -30, max: 30 })).map(([m, e]) => `${m}E${e}`),
  fc.constantFrom('+1.5', '.5', '5.', '-0', '-0.0', '0001.250', ' 7.25 ', '1e400', '-1e-400'),
);
const missingText = fc.constantFrom('', ' ', 'nan', 'NaN', '-nan', 'NAN');
const oddText = fc.constantFrom(
  'abc',
  '0x1A',
  '1.2.3',
  '1e',
  '--1',
  '1 2',
  'inf',
  '-Infinity',
  'é',
  'null',
  '1_000',
  '.',
  '-',
);
const numberField = fc.oneof(
  { weight: 8, arbitrary: decimalText },
  { weight: 2, arbitrary: missingText },
  { weight: 1, arbitrary: oddText },
);
const quotedNumber = numberField.map((text) => `"${text}"`);
const anyNumber = fc.oneof({ weight: 5, arbitrary: numberField }, { weight: 1, arbitrary: quotedNumber });
const phaseField = fc.constantFrom('recoat', 'expose', 'dwell', '', '"dwell"', 'exposing', '12');
const remarkField = fc.oneof(
  fc.constantFrom('', 'ok', '12', '12.5', 'ünï'),
  fc
    .array(fc.constantFrom('x', ' ', ',', '\n', '\r\n', '""', '7', '#'), { maxLength: 6 })
    .map((cs) => `"${cs.join('')}"`),
);
const goodRow = fc.tuple(anyNumber, anyNumber, phaseField, remarkField, anyNumber).map((fields) => fields.join(','));
const wrongRow = fc.oneof(
  fc.array(fc.oneof(anyNumber, remarkField), { minLength: 1, maxLength: 4 }).map((fields) => fields.join(',')),
  fc.array(anyNumber, { minLength: 6, maxLength: 8 }).map((fields) => fields.join(',')),
);
const line = fc.oneof(
  { weight: 12, arbitrary: goodRow },
  { weight: 2, arbitrary: wrongRow },
  { weight: 1, arbitrary: fc.constantFrom('', '# a remark, "quoted"', '#') },
);
export const tableText = fc
  .tuple(fc.array(fc.tuple(line, fc.constantFrom('\n', '\n', '\r\n')), { maxLength: 25 }), fc.boolean())
  .map(([lines, mark]) => (mark ? '\ufeff' : '') + lines.map(([text, end]) => text + end).join(''));
