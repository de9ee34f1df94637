import assert from 'node:assert/strict';
import fc from 'fast-check';
import { legendFlow, legendLinePx, type LegendRoom } from '../../../../src/core/display/svg/legendFlow.ts';
import type { SvgNode } from '../../../../src/core/display/svg/svg.ts';

/** A letter of the face that drawings are set in, 11 px high, is about so wide. */
const letterPx = 6;

const wordsOf = ({ children }: SvgNode): string => children.filter((child) => typeof child === 'string').join('');

function flow(texts: readonly string[], room: Partial<LegendRoom>) {
  const entries = texts.map((text) => ({ text, sampleWidthPx: 18, sample: () => [] }));
  const whole = { left: 40, top: 100, widthPx: 300, takenPx: 0, long: 'broken', ...room } as const;
  const { lines, marks } = legendFlow(entries, whole);
  const said = marks.map((mark) => {
    const [x, y] = [Number(mark.attributes['x']), Number(mark.attributes['y'])];
    return {
      left: x - 18,
      right: x + letterPx * wordsOf(mark).length,
      line: (y - 104) / legendLinePx,
      text: wordsOf(mark),
    };
  });
  return { lines, said, marks };
}

describe('the entries of a legend', () => {
  it('follow one another within their room, on top of nothing, whatever they say', () => {
    const word = fc.string({ minLength: 1, maxLength: 12, unit: fc.constantFrom(...'abc µ−…') });
    const text = fc.array(word, { minLength: 1, maxLength: 9 }).map((words) => words.join(' '));
    const room = { widthPx: fc.integer({ min: 120, max: 700 }), takenPx: fc.integer({ min: 0, max: 200 }) };
    const long = fc.constantFrom('broken', 'shortened') as fc.Arbitrary<'broken' | 'shortened'>;
    fc.assert(
      fc.property(fc.array(text, { maxLength: 8 }), fc.record({ ...room, long }), (texts, given) => {
        const { lines, said } = flow(texts, given);
        for (const one of said) {
          assert.ok(Number.isInteger(one.line) && one.line >= 0 && one.line < lines);
          assert.ok(one.right <= 40 + given.widthPx, `'${one.text}' ends beyond`);
          if (one.line === 0) assert.ok(one.left >= 40 + given.takenPx || given.takenPx === 0);
          for (const other of said)
            assert.ok(one === other || one.line !== other.line || one.right <= other.left || other.right <= one.left);
        }
      }),
    );
  });

  it('go on in further lines where they are broken, and say all; shortened they tell the whole when pointed at', () => {
    const text = 'a ring stands for a cell without a direction because noise would make one up';
    const broken = flow([text], { widthPx: 200 });
    assert.ok(broken.lines > 1);
    assert.equal(broken.said.map((one) => one.text).join(' '), text);
    const short = flow([text], { widthPx: 200, long: 'shortened' });
    assert.equal(short.lines, 1);
    assert.match(short.said[0]!.text, /^a ring.*….*make one up$/);
    const [title] = short.marks[0]!.children;
    assert.deepEqual(typeof title === 'object' && [title.name, title.children], ['title', [text]]);
  });
});
