// The header used by all tests of this part, and the way they state an expectation: the text with the expected range
// between ⟦ and ⟧, and the problem's code.
import assert from 'node:assert/strict';
import { Document, parse as parseYaml } from 'yaml';
import { parseHeader } from '../../../src/core/header/parseHeader.ts';
import type { ParsedHeader } from '../../../src/core/header/parseHeader.ts';
import type { Problem } from '../../../src/core/problem.ts';

export const sampleHeader = `# %ECSV 1.0
# ---
# delimiter: ','
# datatype:
# - {name: time, unit: s, datatype: float64}
# - {name: layer, datatype: int32}
# - {name: B2_T, unit: deg_C, datatype: float64}
# - {name: B2_up_0, unit: nm, datatype: float64}
# - {name: B2_up_45, unit: nm, datatype: float64}
# - {name: B2_up_90, unit: nm, datatype: float64}
# meta:
#   strain_log: 1
#   build: {name: tray 7, started: '2026-03-02T18:04:00Z', layer_height: 40 um, planned_layers: 1450}
#   plate: {size: [250 mm, 250 mm], thickness: 30 mm, material: Al 6061-T6, youngs_modulus: 68.9 GPa,
#     poissons_ratio: 0.33, thermal_expansion: 23.6e-6 1/K, yield_stress: 276 MPa}
#   planes: {up: {height: 9 mm}, low: {height: -9 mm}}
#   cells: {B2: {at: [75 mm, 75 mm]}}
#   channels:
#     B2_T: {cell: B2, kind: temperature}
#     B2_up_0: {cell: B2, plane: up, kind: bragg, direction: 0 deg, rest: 1550.120 nm, strain_gain: 0.78, thermal_gain: 6.5e-6 1/K}
#     B2_up_45: {cell: B2, plane: up, kind: bragg, direction: 45 deg, rest: 1552.004 nm, strain_gain: 0.78, thermal_gain: 6.5e-6 1/K}
#     B2_up_90: {cell: B2, plane: up, kind: bragg, direction: 90 deg, rest: 1553.871 nm, strain_gain: 0.78, thermal_gain: 6.5e-6 1/K}
#   datum: {from: 60 s, to: 180 s}
#   parts:
#     bracket 1: {outline: [[40 mm, 40 mm], [110 mm, 40 mm], [110 mm, 110 mm], [40 mm, 110 mm]]}
#   recoater: {direction: 90 deg}
# schema: astropy-2.0
time,layer,B2_T,B2_up_0,B2_up_45,B2_up_90
`;

/** The sample with one stretch replaced; the stretch must be there once. */
export function edited(...replacements: readonly (readonly [string, string])[]): string {
  return replacements.reduce((text, [from, to]) => {
    assert.equal(text.split(from).length, 2, `'${from}' must stand exactly once in the sample`);
    return text.replace(from, () => to);
  }, sampleHeader);
}

export interface Expected {
  readonly code: string;
  readonly severity?: Problem['severity'];
  /** Must be part of the message. */
  readonly says?: RegExp;
  /** What the marked stretch becomes by the fix; the fixed text must then be free of this problem. */
  readonly fix?: string;
  /** Codes of the other problems, in order; none otherwise. */
  readonly others?: readonly string[];
  /** Names of channels that go on being analysed; 'stops' where the analysis does. */
  readonly leaves?: readonly string[] | 'stops';
}

/** Parses the marked text and compares its problems with the expectation. */
function check(marked: string, expected: Expected): ParsedHeader {
  return checkWith(parseHeader, marked, expected);
}

export function checkWith(parse: (text: string) => ParsedHeader, marked: string, expected: Expected): ParsedHeader {
  const from = marked.indexOf('⟦');
  const to = marked.indexOf('⟧') - 1;
  const text = marked.replace('⟦', '').replace('⟧', '');
  const parsed = parse(text);
  const summary = parsed.problems
    .map(({ code, range, message }) => `${code} ${range.line}:${range.column} ${message}`)
    .join('\n');
  const found = parsed.problems.find((problem) => problem.code === expected.code);
  assert.ok(found, `no '${expected.code}' among:\n${summary}`);
  assert.deepEqual(found.range, { ...placeOf(text, from), ...endOf(placeOf(text, to)) }, summary);
  assert.equal(found.severity, expected.severity ?? 'error');
  if (expected.says) assert.match(found.message, expected.says);
  const others = parsed.problems.filter((problem) => problem !== found).map((problem) => problem.code);
  assert.deepEqual(others, expected.others ?? [], summary);
  assert.equal(found.fixes?.length ?? 0, expected.fix === undefined ? 0 : 1, `fixes of ${summary}`);
  if (expected.fix !== undefined) {
    assert.equal(found.fixes![0]!.newText, expected.fix);
    const mended = parse(applied(text, found));
    assert.ok(!mended.problems.some((problem) => problem.code === expected.code), 'the fix mends the problem');
  }
  if (expected.leaves === 'stops') assert.equal(parsed.header, undefined);
  else if (expected.leaves)
    assert.deepEqual(
      parsed.header?.channels.map((channel) => channel.name),
      expected.leaves,
    );
  else assert.ok(parsed.header, 'the analysis goes on');
  return parsed;
}

function placeOf(text: string, offset: number): { line: number; column: number } {
  const before = text.slice(0, offset);
  return { line: before.split('\n').length, column: offset - before.lastIndexOf('\n') };
}

function endOf({ line, column }: { line: number; column: number }): { endLine: number; endColumn: number } {
  return { endLine: line, endColumn: column };
}

/** The text after the problem's first fix. */
function applied(text: string, problem: Problem): string {
  const { range, newText } = problem.fixes![0]!;
  const offset = (line: number, column: number): number =>
    text
      .split('\n')
      .slice(0, line - 1)
      .reduce((sum, each) => sum + each.length + 1, 0) +
    column -
    1;
  return text.slice(0, offset(range.line, range.column)) + newText + text.slice(offset(range.endLine, range.endColumn));
}

export type Case = readonly [title: string, marked: string, expected: Expected];

/** One test a case. */
export function cases(title: string, list: readonly Case[]): void {
  describe(title, () => {
    for (const [name, marked, expected] of list) it(name, () => void check(marked, expected));
  });
}

/** The sample's strain-bearing channels, all of them, and all but the middle one. */
export const bragg = ['B2_up_0', 'B2_up_45', 'B2_up_90'];
export const all = ['B2_T', ...bragg];
export const without45 = ['B2_T', 'B2_up_0', 'B2_up_90'];

const namesRow = 'time,layer,B2_T,B2_up_0,B2_up_45,B2_up_90\n';

/** The sample's YAML as plain values, and a log written from such values. */
export const sampleValue = parseYaml(
  sampleHeader
    .split('\n')
    .filter((line) => line.startsWith('#') && !/ECSV|---/.test(line))
    .map((line) => line.slice(2))
    .join('\n'),
) as Record<string, unknown>;

export function written(value: unknown, options: { flow: boolean; lineEnd: string; mark: string }): string {
  const document = new Document(value);
  if (options.flow) (document.get('meta') as { flow?: boolean }).flow = true;
  const yaml = document.toString({ lineWidth: 100 });
  const lines = [
    '# %ECSV 1.0',
    '# ---',
    ...yaml
      .trimEnd()
      .split('\n')
      .map((line) => `# ${line}`),
    namesRow.trimEnd(),
    '',
  ];
  return options.mark + lines.join(options.lineEnd);
}
