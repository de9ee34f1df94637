import assert from 'node:assert/strict';
import { buildOutlook } from '../../../src/cli/report/buildOutlook.ts';
import type { LogHeader } from '../../../src/core/header/logHeader.ts';

describe('what going on would mean', () => {
  const square = (side: number): [number, number][] => [
    [0, 0],
    [side, 0],
    [side, side],
    [0, side],
  ];
  const header = {
    build: { plannedLayers: 100 },
    parts: [
      { name: 'a', outlineM: square(0.1) },
      { name: 'b', outlineM: [...square(0.1)].reverse() },
      { name: 'c', outlineM: square(0.2) },
    ],
  } as unknown as LogHeader;

  /** Starts of layers that take so many seconds each. */
  const layers = (from: number, to: number, takesS: number, startS = 0): { layer: number; timeS: number }[] =>
    Array.from({ length: to - from + 1 }, (_, at) => ({ layer: from + at, timeS: startS + at * takesS }));

  it('is the layers left at the time a layer took, dealt out by area', () => {
    const { layersLeft, leftS, parts } = buildOutlook(header, layers(1, 40, 100), 4000);
    assert.deepEqual([layersLeft, leftS], [60, 6000]);
    assert.deepEqual(
      parts.map(({ savedS }) => Math.round(savedS)),
      [1000, 1000, 4000],
    );
  });

  it('of a log that begins with a later layer is what comes after its last', () => {
    const { layersLeft, leftS } = buildOutlook(header, layers(51, 60, 60), 600);
    assert.deepEqual([layersLeft, leftS], [40, 40 * 60]);
  });

  it('leaves out how long the bare plate was warmed, before layer 0 and in it', () => {
    const warmed = [{ layer: 0, timeS: 0 }, ...layers(1, 10, 60, 7200)];
    const { layersDone, leftS } = buildOutlook(header, warmed, 7800);
    assert.deepEqual([layersDone, leftS], [10, 90 * 60]);
  });

  it('is not known before one layer has passed', () => {
    assert.ok(Number.isNaN(buildOutlook(header, layers(1, 1, 60), 30).leftS));
  });

  it('counts no layers twice when the build is through, and none where there are none', () => {
    assert.equal(buildOutlook(header, layers(1, 120, 30), 4000).leftS, 0);
    assert.ok(Number.isNaN(buildOutlook(header, [], 4000).leftS));
  });
});
