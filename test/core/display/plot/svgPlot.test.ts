import assert from 'node:assert/strict';
import { svg, svgText } from '../../../../src/core/display/svg/svg.ts';
import { standalone } from '../../../../src/core/display/svg/standaloneStyle.ts';
import {
  smallestRange,
  timePlot,
  valueRange,
  type PlotEvent,
  type TimePlotInput,
} from '../../../../src/core/display/plot/svgPlot.ts';

const line = (values: number[]) => ({ title: 'e1', timeS: values.map((_, i) => i), values });

function plot(values: number[], more: Partial<TimePlotInput> = {}): string {
  const input: TimePlotInput = {
    title: 'Strain',
    unitLabel: 'µm/m',
    lines: [line(values)],
    fromS: 0,
    toS: values.length - 1,
    widthPx: 400,
    heightPx: 200,
    ground: 'light',
    ...more,
  };
  return svgText(timePlot(input));
}

/** The path of the first line. */
function pathOf(text: string): string {
  return /<g class="lines"><path d="([^"]*)"/.exec(text)![1]!;
}

describe('time plot as a drawing', () => {
  it('keeps a gap a gap, and a lone reading visible', () => {
    const path = pathOf(plot([1, 2, NaN, 3, NaN, 4, 5]));
    assert.equal(path.split('M').length - 1, 3);
    assert.match(path, /h0\.1/);
  });

  it('draws every point it is given, extremes included', () => {
    const path = pathOf(plot([0, 0, 100, 0]));
    const heights = [...path.matchAll(/[ML][\d.]+ ([\d.]+)/g)].map((match) => Number(match[1]));
    assert.equal(heights.length, 4);
    assert.equal(heights.indexOf(Math.min(...heights)), 2);
  });

  it('names every line within the drawing, however long the names, and draws beneath them', () => {
    const name = (cell: string): string =>
      `${cell}_corner_of_the_plate_below_the_recoater_rest upper_plane_near_the_top e1`;
    const cells = ['Front_left', 'Front_right', 'Back_left', 'Back_right'];
    for (const widthPx of [300, 480, 1000]) {
      const lines = cells.map((cell) => ({ ...line([1, 2, 3]), title: name(cell) }));
      const text = plot([], { lines, widthPx, toS: 2, note: 'A note.' });
      const entries = [
        ...text.matchAll(/class="legend-text" x="([\d.]+)" y="([\d.]+)">(?:<title>[^<]*<\/title>)?([^<]+)/g),
      ];
      const said = entries.map(([, x, y, words]) => ({ x: Number(x), y: Number(y), words: words! }));
      for (const cell of cells)
        assert.ok(
          said.some(({ words }) => words.startsWith(cell.slice(0, 8)) && words.endsWith('e1')),
          `${cell} at ${widthPx}`,
        );
      for (const { x, words } of said) assert.ok(x + 6 * words.length <= widthPx, `${words} ends beyond ${widthPx}`);
      for (const one of said)
        for (const other of said)
          assert.ok(
            one === other || one.y !== other.y || one.x + 6 * one.words.length <= other.x || other.x < one.x,
            `${one.words} runs into ${other.words}`,
          );
      const top = Number(/class="axis" d="M58 ([\d.]+)V/.exec(text)![1]);
      assert.ok(top >= Math.max(...said.map(({ y }) => y)), `the axis begins at ${top}`);
    }
  });

  it('draws events as bands while these are few, hundreds as ticks at the top edge, none left out', () => {
    const event = (severity: PlotEvent['severity'], timeS: number): PlotEvent => ({
      kind: severity,
      severity,
      timeS,
      endTimeS: NaN,
    });
    const bandsAndTicks = (events: readonly PlotEvent[]): [number, number] => {
      const heights = [
        ...plot([1, 2, 3], { events, toS: 300 }).matchAll(/class="event [^>]*><rect [^>]*height="([\d.]+)"/g),
      ];
      const high = heights.filter(([, height]) => Number(height) > 50);
      return [high.length, heights.length - high.length];
    };
    const spikes = Array.from({ length: 250 }, (_, i) => event('information', i));
    assert.deepEqual(bandsAndTicks([...spikes.slice(0, 9), event('error', 120)]), [10, 0]);
    assert.deepEqual(bandsAndTicks([...spikes, event('error', 120)]), [1, 250]);
  });

  it('never writes NaN, whatever is missing', () => {
    for (const values of [
      [NaN, NaN],
      [NaN, 1],
      [5, 5],
      [Infinity, 1],
    ]) {
      assert.doesNotMatch(plot(values), /NaN|Infinity/);
    }
  });

  it('shows events inside the window only, with their kind', () => {
    const events = [
      { kind: 'release', severity: 'error' as const, timeS: 1, endTimeS: NaN },
      { kind: 'strike', severity: 'warning' as const, timeS: 99, endTimeS: 100 },
    ];
    const text = plot([1, 2, 3], { events });
    assert.match(text, />release</);
    assert.doesNotMatch(text, />strike</);
  });

  it('writes the names of events over the bands of all of them', () => {
    const events = [1, 1.1, 1.2].map((timeS) => ({ kind: 'jump', severity: 'error' as const, timeS, endTimeS: NaN }));
    const text = plot([1, 2, 3], { events });
    assert.ok(text.indexOf('>jump<') > text.lastIndexOf('class="event error"'));
  });

  it('draws where good builds lie layer by layer, holds it in view, and names it', () => {
    const band = {
      fromS: Float64Array.of(0, 1, 9),
      toS: Float64Array.of(1, 2, 10),
      low: Float64Array.of(-40, -45, -900),
      high: Float64Array.of(40, 50, 900),
    };
    const goodBuilds = { title: 'band of 3 good builds', bands: [{ band, line: 0 }] };
    const text = plot([1, 2, 3], { goodBuilds });
    const [area, edges, hatch] = [...text.matchAll(/<g class="step-band">(.*?)<\/g>/g)]
      .flatMap(([, inside]) => [...inside!.matchAll(/ d="([^"]*)"/g)])
      .map(([, d]) => d!);
    // The third layer lies outside the window. What is drawn stays on the drawing's plot: 24 px below its top to 30 px above its end.
    assert.equal(area!.split('M').length - 1, 2);
    assert.equal(edges!.split('M').length - 1, 4);
    const heights = [...area!.matchAll(/M[\d.]+ ([\d.]+)H[\d.]+V([\d.]+)/g)].flatMap(([, a, b]) => [
      Number(a),
      Number(b),
    ]);
    assert.ok(
      heights.every((y) => y >= 24 && y <= 170),
      String(heights),
    );
    // Every line of the hatching lies within a step, and they all run the same way.
    const lines = [...hatch!.matchAll(/M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)/g)].map((found) =>
      found.slice(1).map(Number),
    );
    assert.ok(lines.length > 10);
    for (const [x0, y0, x1, y1] of lines as [number, number, number, number][]) {
      assert.ok(Math.abs(x1 - x0 - (y0 - y1)) < 0.03, 'at 45 degrees');
      assert.ok(y1 >= Math.min(...heights) - 0.01 && y0 <= Math.max(...heights) + 0.01);
    }
    assert.match(text, />band of 3 good builds</);
    assert.doesNotMatch(plot([1, 2, 3]), /step-band|good builds/);
  });

  it('gives an axial plot its ticks modulo 180', () => {
    const text = plot([170, 185, 200], { axial: true });
    assert.doesNotMatch(text, />(18|19|20)\d</);
  });

  it('leaves a stylesheet inside a drawing that stands alone', () => {
    const text = svgText(standalone(svg('svg', { width: 10, height: 10 }), 'dark'));
    assert.match(text, /^<svg xmlns="http:\/\/www\.w3\.org\/2000\/svg".*<style>/);
  });
});

describe('the range of what is of interest where it is small', () => {
  it('gives the smallest values the axis, however large others are', () => {
    const margins = [30000, 4000, 90, 52, 60, NaN];
    const [low, high] = smallestRange([{ values: margins }])!;
    assert.ok(low <= 0 && high >= 2 * 60 && high <= 5 * 52);
    const path = pathOf(plot(margins, { range: [low, high] }));
    const heights = [...path.matchAll(/[ML][\d.]+ ([\d.]+)/g)].map((match) => Number(match[1]));
    assert.ok(heights[3]! - Math.min(...heights) > 50, 'the smallest is told from the top');
    assert.ok(
      heights.every((y) => y >= 24 && y <= 170),
      'nothing leaves the drawing',
    );
  });

  it('keeps a margin that is used up in sight', () => {
    const [low, high] = smallestRange([{ values: [-0.2, 3, 9] }])!;
    assert.ok(low < -0.2 && high >= 1);
  });

  it('is left to the values where they fit, or where there are none', () => {
    assert.equal(smallestRange([{ values: [0.4, 0.9] }]), undefined);
    assert.equal(smallestRange([{ values: [NaN, NaN] }]), undefined);
    assert.equal(smallestRange([]), undefined);
  });
});

describe('value range', () => {
  it('holds every defined value and error with some room', () => {
    const [low, high] = valueRange([{ title: '', timeS: [0, 1], values: [3, 7], errors: [NaN, 2] }]);
    assert.ok(low < 3 && high > 9 && high < 10);
  });

  it('is two different finite numbers, also of nothing or of a constant', () => {
    for (const values of [[], [NaN], [4, 4], [0]]) {
      const [low, high] = valueRange([line(values)]);
      assert.ok(Number.isFinite(low) && Number.isFinite(high) && low < high);
    }
  });
});
