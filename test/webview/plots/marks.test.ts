import assert from 'node:assert/strict';
import type uPlot from 'uplot';
import { drawUnder } from '../../../webview/plots/marks.ts';
import type { StrainEvent } from '../../../webview/logTypes.ts';
import type { Theme } from '../../../webview/theme.ts';

interface Drawn {
  readonly what: 'rect' | 'text';
  readonly colour: string;
  readonly left: number;
  readonly right: number;
  readonly text: string;
}

/** A plot of 100 s on 1000 px whose canvas keeps what is drawn on it; letters are 6 px wide. */
function recorder(): { readonly plot: uPlot; readonly drawn: Drawn[] } {
  const drawn: Drawn[] = [];
  const nothing = (): void => undefined;
  const ctx = {
    fillStyle: '',
    ...{ save: nothing, restore: nothing, beginPath: nothing, rect: nothing, clip: nothing },
    ...{ moveTo: nothing, lineTo: nothing, stroke: nothing },
    measureText: (text: string) => ({ width: 6 * text.length }),
    fillRect(left: number, _: number, width: number) {
      drawn.push({ what: 'rect', colour: this.fillStyle, left, right: left + width, text: '' });
    },
    fillText(text: string, left: number) {
      drawn.push({ what: 'text', colour: this.fillStyle, left, right: left + 6 * text.length, text });
    },
  };
  const bbox = { left: 0, top: 0, width: 1000, height: 200 };
  return { plot: { ctx, bbox, valToPos: (value: number) => 10 * value } as unknown as uPlot, drawn };
}

const theme = {
  ...{ text: 'black', background: 'white', soft: 'grey', selection: 'blue' },
  ...{ error: 'red', warning: 'yellow', information: 'cyan' },
} as Theme;

describe('the names of events on a plot', () => {
  const ratio = Object.getOwnPropertyDescriptor(globalThis, 'devicePixelRatio');
  before(() => Object.defineProperty(globalThis, 'devicePixelRatio', { value: 1, configurable: true }));
  after(() => {
    if (ratio) Object.defineProperty(globalThis, 'devicePixelRatio', ratio);
    else Reflect.deleteProperty(globalThis, 'devicePixelRatio');
  });

  it('have the colour of text, and nothing of another event runs through them', () => {
    const { plot, drawn } = recorder();
    const event = (id: string, timeS: number, severity: StrainEvent['severity'], kind: string): StrainEvent =>
      ({ id, timeS, endTimeS: NaN, detectedTimeS: timeS + 0.5, severity, kind }) as StrainEvent;
    const events = [
      event('a', 20, 'error', 'release'),
      event('b', 21, 'warning', 'strike'),
      event('c', 22.5, 'information', 'jump'),
      event('d', 60, 'information', 'stuck'),
    ];
    const marks = { selectedFromS: NaN, selectedToS: NaN, events, chosenEvent: 'a', layers: [] };
    drawUnder(plot, marks, theme, false);
    const names = drawn.filter(({ what }) => what === 'text');
    assert.ok(names.some(({ text }) => text === 'release') && names.some(({ text }) => text === 'stuck'));
    for (const name of names) {
      assert.equal(name.colour, 'black');
      const at = drawn.indexOf(name);
      const ground = drawn[at - 1]!;
      assert.ok(ground.colour === 'white' && ground.left <= name.left && ground.right >= name.right);
      const later = drawn.slice(at).filter(({ colour }) => colour !== 'white' && colour !== 'black');
      assert.deepEqual(later, [], `drawn over ${name.text}`);
    }
  });
});
