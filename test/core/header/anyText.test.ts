// Whatever is typed into a header: no exception, no value that is not finite, and an error wherever there is no result.
import assert from 'node:assert/strict';
import fc from 'fast-check';
import { Document, isCollection, parse as parseYaml } from 'yaml';
import { completionsAt } from '../../../src/core/header/language/completion.ts';
import { headerOutline } from '../../../src/core/header/language/outline.ts';
import { parseHeader } from '../../../src/core/header/parseHeader.ts';
import { listed, yamlText } from '../../../src/core/header/schema/wording.ts';
import { processWarnings } from '../../support/processWarnings.ts';
import { sampleHeader, sampleValue, written } from './sampleHeader.ts';

describe('a header of any text', () => {
  it('has what is wrong with it told in its problems alone', () => {
    const told = processWarnings(() => {
      const { problems } = parseHeader(sampleHeader.replace('#   plate:', '#   ? [a, b]\n#   : 1\n#   plate:'));
      assert.deepEqual(
        problems.map(({ code }) => code),
        ['key-unknown'],
      );
    });
    assert.deepEqual(told, []);
  });

  it('never throws and never holds a value that is not finite, whatever is typed into it', () => {
    const mayBeNaN = new Set(['directionRad', 'heightM', 'layerHeightM', 'recoaterDirectionRad']);
    const check = (value: unknown, key: string): void => {
      if (typeof value === 'number')
        assert.ok(Number.isFinite(value) || (Number.isNaN(value) && mayBeNaN.has(key)), `${key}: ${value}`);
      else if (typeof value === 'object' && value !== null)
        for (const [name, item] of Object.entries(value)) check(item, name);
    };
    fc.assert(
      fc.property(
        fc.nat(sampleHeader.length - 1),
        fc.nat(12),
        fc.string({ unit: fc.constantFrom(...'{}[]:,\'"# -01e.mK\n'), maxLength: 6 }),
        (at, drop, insert) => {
          const { header, problems } = parseHeader(sampleHeader.slice(0, at) + insert + sampleHeader.slice(at + drop));
          check(header, '');
          for (const { range, message } of problems) {
            assert.ok(
              range.line >= 1 && range.column >= 1 && (range.endLine > range.line || range.endColumn >= range.column),
              JSON.stringify(range),
            );
            assert.doesNotMatch(message, /undefined|NaN|\[object/);
          }
          if (!header)
            assert.ok(
              problems.some((problem) => problem.severity === 'error'),
              'says why there is none',
            );
        },
      ),
      { numRuns: 400 },
    );
  });

  it('never throws and always says why, whatever kind of value stands in a place', () => {
    const places: (readonly (string | number)[])[] = [];
    const collect = (value: unknown, path: readonly (string | number)[]): void => {
      if (path.length > 0) places.push(path);
      if (typeof value === 'object' && value !== null) {
        for (const key of Object.keys(value)) collect((value as Record<string, unknown>)[key], [...path, key]);
      }
    };
    collect(sampleValue, []);
    const junk = fc.oneof(
      fc.constantFrom<unknown>(
        null,
        true,
        0,
        -1,
        1e308,
        '',
        'x',
        '0 mm',
        '5 K',
        [],
        {},
        [[]],
        [null],
        { a: null },
        { at: 'x' },
      ),
      fc.anything({ maxDepth: 2, withNullPrototype: false }),
    );
    fc.assert(
      fc.property(
        fc.constantFrom(...places),
        junk,
        fc.constantFrom(...places),
        junk,
        (path, value, otherPath, otherValue) => {
          const document = new Document(sampleValue);
          document.setIn(path, value);
          if (document.hasIn(otherPath.slice(0, -1)) && isCollection(document.getIn(otherPath.slice(0, -1))))
            document.setIn(otherPath, otherValue);
          let plain: unknown;
          try {
            plain = parseYaml(document.toString());
          } catch {
            return; // no YAML, so nothing a person could have written
          }
          const text = written(plain, { flow: false, lineEnd: '\n', mark: '' });
          const { header, problems, source } = parseHeader(text);
          if (!header)
            assert.ok(
              problems.some((problem) => problem.severity === 'error'),
              text,
            );
          headerOutline(source);
          for (let line = 1; line < 30; line += 7) completionsAt(source, line, 12);
        },
      ),
      { numRuns: 200 },
    );
  });

  it('puts any name into YAML so that it is read back', () => {
    fc.assert(
      fc.property(
        fc.oneof(fc.string(), fc.constantFrom('yes', 'null', "it's", '1', 'a: b', '# x', '-', 'T 1', '')),
        (name) => {
          assert.deepEqual(parseYaml(`{key: ${yamlText(name)}, ${yamlText(`${name}.`)}: 1}`), {
            key: name,
            [`${name}.`]: 1,
          });
        },
      ),
    );
  });

  it('keeps lists of names short', () => {
    assert.equal(listed(['a', 'b']), 'a, b');
    assert.match(listed(Array.from({ length: 500 }, (_, at) => `c${at}`)), /^c0, .*c11 and 488 more$/);
  });
});
