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
  /** Of a rectangle. */
  readonly height: number;
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
    fillRect(left: number, _: number, width: number, height: number) {
      drawn.push({ what: 'rect', colour: this.fillStyle, left, right: left + width, text: '', height });
    },
    fillText(text: string, left: number) {
      drawn.push({ what: 'text', colour: this.fillStyle, left, right: left + 6 * text.length, text, height: 0 });
    },
  };
  const bbox = { left: 0, top: 0, width: 1000, height: 200 };
  return { plot: { ctx, bbox, valToPos: (value: number) => 10 * value } as unknown as uPlot, drawn };
}

const theme = {
  ...{ text: 'black', background: 'white', soft: 'grey', selection: 'blue' },
  ...{ error: 'red', warning: 'yellow', information: 'cyan' },
} as Theme;

const unselected = { selectedFromS: NaN, selectedToS: NaN, layers: [] };

function event(id: string, timeS: number, severity: StrainEvent['severity'], kind: string): StrainEvent {
  return { id, timeS, endTimeS: NaN, detectedTimeS: timeS + 0.5, severity, kind } as StrainEvent;
}

describe('events on a plot', () => {
  const ratio = Object.getOwnPropertyDescriptor(globalThis, 'devicePixelRatio');
  before(() => Object.defineProperty(globalThis, 'devicePixelRatio', { value: 1, configurable: true }));
  after(() => {
    if (ratio) Object.defineProperty(globalThis, 'devicePixelRatio', ratio);
    else Reflect.deleteProperty(globalThis, 'devicePixelRatio');
  });

  it('have names in the colour of text, and nothing of another event runs through them', () => {
    const { plot, drawn } = recorder();
    const events = [
      event('a', 20, 'error', 'release'),
      event('b', 21, 'warning', 'strike'),
      event('c', 22.5, 'information', 'jump'),
      event('d', 60, 'information', 'stuck'),
    ];
    const marks = { ...unselected, events, chosenEvent: 'a' };
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

  it('are bands while these are few; of hundreds the graver ones and the chosen one are, the others ticks at the top', () => {
    const spikes = Array.from({ length: 300 }, (_, i) => event(`s${i}`, i / 3, 'information', 'spike'));
    const grave = [event('a', 30.1, 'error', 'release'), event('b', 70.1, 'error', 'crack')];
    const drawnOf = (events: readonly StrainEvent[]): readonly Drawn[] => {
      const { plot, drawn } = recorder();
      drawUnder(plot, { ...unselected, events, chosenEvent: 's150' }, theme, false);
      return drawn;
    };
    const bandsOf = (drawn: readonly Drawn[]): Drawn[] => drawn.filter(({ height }) => height === 200);
    const few = drawnOf([...grave, spikes[150]!, spikes[200]!]);
    assert.equal(new Set(bandsOf(few).map(({ left }) => left)).size, 4);
    const many = drawnOf([...spikes, ...grave]);
    assert.deepEqual(
      [...new Set(bandsOf(many).map(({ left, colour }) => `${left} ${colour}`))].sort(),
      ['301 red', '500 cyan', '701 red'],
      'two that are grave, and the chosen one',
    );
    const ticks = many.filter(({ colour, height }) => colour === 'cyan' && height < 200);
    assert.deepEqual(
      ticks.map(({ left }) => Math.round(left)).sort((a, b) => a - b),
      spikes.filter(({ id }) => id !== 's150').map(({ timeS }) => Math.round(10 * timeS)),
      'none is left out',
    );
    assert.ok(ticks.every(({ height }) => height <= 10));
    assert.deepEqual(
      many
        .filter(({ what }) => what === 'text')
        .map(({ text }) => text)
        .sort(),
      ['crack', 'release', 'spike'],
    );
  });
});
