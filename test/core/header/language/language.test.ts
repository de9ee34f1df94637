// Completion, hover and outline of a header: `|` marks the cursor.
import assert from 'node:assert/strict';
import { completionsAt } from '../../../../src/core/header/language/completion.ts';
import type { HeaderCompletion } from '../../../../src/core/header/language/completion.ts';
import { hoverAt } from '../../../../src/core/header/language/hover.ts';
import { headerOutline } from '../../../../src/core/header/language/outline.ts';
import { parseHeader } from '../../../../src/core/header/parseHeader.ts';
import { edited, sampleHeader } from '../sampleHeader.ts';

function atCursor(marked: string): { text: string; line: number; column: number } {
  const before = marked.slice(0, marked.indexOf('|'));
  return {
    text: marked.replace('|', ''),
    line: before.split('\n').length,
    column: before.length - before.lastIndexOf('\n'),
  };
}

function complete(marked: string): { labels: string[]; take: (label: string) => string; items: HeaderCompletion[] } {
  const { text, line, column } = atCursor(marked);
  const items = completionsAt(parseHeader(text).source, line, column);
  const take = (label: string): string => {
    const item = items.find((each) => each.label === label);
    assert.ok(item, `${label} is offered among ${items.map((each) => each.label).join(', ')}`);
    const lines = text.split('\n');
    const { range } = item;
    assert.equal(range.line, range.endLine);
    const own = lines[range.line - 1]!;
    return own.slice(0, range.column - 1) + item.newText + own.slice(range.endColumn - 1);
  };
  return { labels: items.map((item) => item.label), take, items };
}

describe('completion in a header', () => {
  it('offers the keys that a flow map lacks, after a comma', () => {
    const { labels, take } = complete(edited(['B2_T: {cell: B2, kind: temperature}', 'B2_T: {cell: B2, |}']));
    assert.ok(labels.includes('kind') && labels.includes('direction') && !labels.includes('cell'));
    assert.equal(take('kind'), '#     B2_T: {cell: B2, kind: }');
  });
  it('replaces a half-typed key', () => {
    assert.equal(
      complete(edited(['cell: B2, kind: temperature', 'cell: B2, ki|'])).take('kind'),
      '#     B2_T: {cell: B2, kind: }',
    );
  });
  it('keeps the colon of a key that has one', () => {
    assert.equal(
      complete(edited(['cell: B2, kind: temperature', 'cell: B2, ki|: temperature'])).take('kind'),
      '#     B2_T: {cell: B2, kind: temperature}',
    );
  });
  it('offers the choices of a key', () => {
    const { labels, take } = complete(edited(['kind: temperature', 'kind: |']));
    assert.deepEqual(labels, ['temperature', 'bragg', 'spectral-shift', 'strain']);
    assert.equal(take('bragg'), '#     B2_T: {cell: B2, kind: bragg}');
  });
  it('replaces a half-typed choice', () => {
    assert.equal(
      complete(edited(['kind: temperature', 'kind: tem|'])).take('temperature'),
      '#     B2_T: {cell: B2, kind: temperature}',
    );
  });
  it('offers the names of cells and planes', () => {
    assert.deepEqual(complete(edited(['B2_up_45: {cell: B2', 'B2_up_45: {cell: |'])).labels, ['B2']);
    assert.deepEqual(complete(edited(['B2_up_45: {cell: B2, plane: up', 'B2_up_45: {cell: B2, plane: u|'])).labels, [
      'up',
      'low',
    ]);
  });
  it('offers columns that have no channel yet', () => {
    const { labels } = complete(edited(['#     B2_T: {cell: B2, kind: temperature}\n', '#     |\n']));
    assert.deepEqual(labels, ['time', 'layer', 'B2_T']);
  });
  it('offers columns for a role', () => {
    assert.ok(complete(edited(['recoater:', 'columns: {time: |}\n#   recoater:'])).labels.includes('B2_T'));
  });
  it('offers a typed number with each unit of the dimension', () => {
    const { labels, take } = complete(edited(['thickness: 30 mm', 'thickness: 30|']));
    assert.deepEqual(labels, ['30 nm', '30 pm', '30 um', '30 mm', '30 cm', '30 m']);
    assert.match(take('30 cm'), /thickness: 30 cm, material/);
  });
  it('knows that the unit at rest follows from the kind', () => {
    assert.ok(complete(edited(['rest: 1552.004 nm', 'rest: 1552.004|'])).labels.includes('1552.004 nm'));
    assert.ok(
      complete(
        edited([
          'kind: bragg, direction: 45 deg, rest: 1552.004 nm',
          'kind: spectral-shift, direction: 45 deg, rest: 1552|',
        ]),
      ).labels.includes('1552 GHz'),
    );
  });
  it('offers the keys of the block on a line of its own', () => {
    const { labels, items } = complete(edited(['#   recoater: {', '#   |\n#   recoater: {']));
    assert.ok(labels.includes('detection') && labels.includes('derived') && !labels.includes('plate'));
    assert.match(items.find((item) => item.label === 'detection')!.documentation, /false alarms/);
  });
  it('offers keys for a half-typed line of its own', () => {
    assert.equal(
      complete(edited(['#   recoater: {', '#   dete|\n#   recoater: {'])).take('detection'),
      '#   detection: ',
    );
  });
  it('offers the keys of a block just opened', () => {
    assert.deepEqual(complete(edited(['#   recoater: {direction: 90 deg}', '#   recoater:\n#     |'])).labels, [
      'direction',
    ]);
  });
  it('offers event kinds to mute', () => {
    assert.ok(complete(edited(['recoater:', 'detection: {mute: [|]}\n#   recoater:'])).labels.includes('strike'));
  });
  it('offers units of columns', () => {
    assert.ok(complete(edited(['unit: deg_C', 'unit: |'])).labels.includes('deg_C'));
  });
  it('offers nothing among the rows', () => {
    const { text } = atCursor(`${sampleHeader}|`);
    assert.deepEqual(completionsAt(parseHeader(text).source, 29, 1), []);
  });
});

describe('hover in a header', () => {
  const hover = (marked: string) => {
    const { text, line, column } = atCursor(marked);
    const found = hoverAt(parseHeader(text), line, column);
    const own = text.split('\n')[line - 1]!;
    return found && { markdown: found.markdown, on: own.slice(found.range.column - 1, found.range.endColumn - 1) };
  };
  it('says what a key means, its unit and default', () => {
    const found = hover(edited(['thickness: 30 mm', 'thick|ness: 30 mm']));
    assert.equal(found?.on, 'thickness');
    assert.match(found!.markdown, /Thickness of the plate.*usually mm.*Default: 25 mm.*Read as 0\.03 m/s);
  });
  it('says the SI value of a quantity', () => {
    const found = hover(edited(['23.6e-6 1/K', '23.6e-|6 1/K']));
    assert.equal(found?.on, '23.6e-6 1/K');
    assert.match(found!.markdown, /Read as 0\.0000236 K\^-1|Read as 0\.0000236 1\/K/);
  });
  it('names the handbook of a material', () => {
    assert.match(hover(edited(['Al 6061-T6', 'Al 60|61-T6']))!.markdown, /68\.9 GPa.*ASM|ASM.*68\.9 GPa/s);
  });
  it('says what a channel is', () => {
    assert.match(hover(edited(['#     B2_up_45:', '#     B2_up|_45:']))!.markdown, /bragg at B2, plane up, 45 deg/);
  });
  it('says what a name in the row of names is', () => {
    assert.match(
      hover(sampleHeader.replace(',B2_up_45,', ',B2_|up_45,'))!.markdown,
      /float64 in nm.*bragg at B2, plane up, 45 deg/s,
    );
    assert.match(hover(sampleHeader.replace('\ntime,', '\nti|me,'))!.markdown, /no channel/);
  });
  it('shows names from the log as they stand, never as a picture, a link or code', () => {
    const wild = (name: string): string => `x\` ![${name}](https://e.example/${name}.png) <b> \`y`;
    const text = sampleHeader
      .replaceAll('B2_up_45', "'channel'")
      .replaceAll('cell: B2,', "cell: 'cell',")
      .replaceAll('plane: up', "plane: 'plane'")
      .replace('cells: {B2:', "cells: {'cell':")
      .replace('planes: {up:', "planes: {'plane':")
      .replace(/'(cell|plane|channel)'/g, (_, name: string) => `'${wild(name)}'`)
      .replace(`,'${wild('channel')}',`, `,${wild('channel')},`);
    assert.deepEqual(
      parseHeader(text).problems.filter(({ severity }) => severity === 'error'),
      [],
    );
    for (const place of [`,${wild('channel')},`, `#     '${wild('channel')}':`]) {
      const { markdown } = hover(text.replace(place, `${place.slice(0, 8)}|${place.slice(8)}`))!;
      assert.match(markdown, /channel[^]*cell[^]*plane/);
      // Without CommonMark's escapes and our own example, nothing but our bold type is left.
      assert.doesNotMatch(markdown.replace(/^Example: .*$/m, '').replace(/\\[!-/:-@[-`{-~]/g, ''), /[!`<>[\]]|:\/\//);
    }
  });
  it('says nothing of an unknown key', () => {
    assert.equal(hover(edited(['recoater:', 'oper|ator: x\n#   recoater:'])), undefined);
  });
});

describe('outline of a header', () => {
  const outline = headerOutline(parseHeader(sampleHeader).source);
  it('lists the blocks in order', () => {
    assert.deepEqual(
      outline.map((item) => item.name),
      ['datatype', 'strain_log', 'build', 'plate', 'planes', 'cells', 'channels', 'datum', 'parts', 'recoater'],
    );
  });
  it('gives each its lines and its items', () => {
    const channels = outline.find((item) => item.name === 'channels')!;
    assert.deepEqual([channels.range.line, channels.range.endLine], [18, 22]);
    assert.deepEqual(
      channels.children.map((item) => item.name),
      ['B2_T', 'B2_up_0', 'B2_up_45', 'B2_up_90'],
    );
    assert.deepEqual(channels.children[1]!.nameRange, { line: 20, column: 7, endLine: 20, endColumn: 14 });
    const plate = outline.find((item) => item.name === 'plate')!;
    assert.deepEqual([plate.range.line, plate.range.endLine], [14, 15]);
  });
});
