import assert from 'node:assert/strict';
import '../support/editor/load.ts';
import '../support/editor/standIn.ts';
import { parseHeader } from '../../src/core/header/parseHeader.ts';
import type { PlateState, RosetteState } from '../../src/messages/analysis.ts';
import { sampleHeader } from '../core/header/sampleHeader.ts';

const { channelText, plateText } = await import('../../src/extension/rowText.ts');

describe('what a row says of the plate', () => {
  const wild = 'x` ![p](https://e.example/p.png) <b> | `y';
  const header = parseHeader(sampleHeader).header!;
  const named = {
    ...header,
    cells: header.cells.map((cell) => ({ ...cell, name: wild })),
    planes: header.planes.map((plane) => ({ ...plane, name: wild })),
    channels: header.channels.map((channel) => ({ ...channel, name: wild })),
  };
  /** Without CommonMark's escapes: what could mean something. */
  const live = (markdown: string): string => markdown.replace(/\\[!-/:-@[-`{-~]/g, '');

  it('shows names from the log as they stand, never as a picture, a link or code', () => {
    const strains = { e1: 1e-6, e2: 0, dirDeg: 45, dirErrorDeg: 1, vonMises: 1e6 };
    const rosette = { ...strains, cell: 0, plane: 0, sick: [] } as unknown as RosetteState;
    const state = { timeS: 3, layer: 1, line: 30, rosettes: [rosette] } as unknown as PlateState;
    const channel = named.channels.find(({ cell, plane }) => cell === 0 && plane === 0)!;
    for (const markdown of [channelText(named, channel), plateText(named, state, -1).value]) {
      assert.match(markdown, /p\\\.png/);
      assert.doesNotMatch(live(markdown), /[!`<>[\]]|:\/\//);
    }
    const table = plateText(named, state, -1).value.split('\n').at(-2)!;
    assert.equal(live(table).split('|').length, 5 + 2, 'a bar in a name begins no column');
  });
});
