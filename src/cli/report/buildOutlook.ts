// What going on, dropping parts or stopping would mean for a build that has been read to some layer: sums from the log
// and its header, no advice. Areas in square metres, times in seconds; NaN where the header does not say enough.
import type { LogHeader } from '../../core/header/logHeader.ts';

interface StartedLayer {
  readonly layer: number;
  readonly timeS: number;
}

export interface PartShare {
  readonly name: string;
  readonly areaM2: number;
  /** Of the outlines of all parts, 0 to 1. */
  readonly share: number;
  /** Time left times share: what dropping it would save if exposure took time by area alone. */
  readonly savedS: number;
}

export interface BuildOutlook {
  /** The last layer that the log has reached. */
  readonly layersDone: number;
  readonly layersPlanned: number;
  readonly layersLeft: number;
  /** That the log spans, the bare plate's included. */
  readonly spentS: number;
  /** Mean from the start of the log's first built layer to that of its last. */
  readonly perLayerS: number;
  readonly leftS: number;
  readonly parts: readonly PartShare[];
}

/** `layers` as the log counts them; its layer 0 is the bare plate before the first, and no measure of what layers take. */
export function buildOutlook(header: LogHeader, layers: readonly StartedLayer[], spentS: number): BuildOutlook {
  const built = layers.filter(({ layer }) => layer >= 1);
  const [first, last] = [built[0], built.at(-1)];
  const layersDone = last?.layer ?? NaN;
  const planned = header.build.plannedLayers > 0 ? header.build.plannedLayers : NaN;
  const layersLeft = Math.max(0, planned - layersDone);
  const passed = first && last && last.layer > first.layer ? last.layer - first.layer : NaN;
  const perLayerS = first && last ? (last.timeS - first.timeS) / passed : NaN;
  const leftS = layersLeft === 0 ? 0 : layersLeft * perLayerS;
  const areas = header.parts.map(({ outlineM }) => polygonArea(outlineM));
  const whole = areas.reduce((sum, area) => sum + area, 0);
  const parts = header.parts.map(({ name }, at) => {
    const share = areas[at]! / whole;
    return { name, areaM2: areas[at]!, share, savedS: leftS * share };
  });
  return { layersDone, layersPlanned: planned, layersLeft, spentS, perLayerS, leftS, parts };
}

/** Gauss's area formula. */
function polygonArea(corners: readonly (readonly [number, number])[]): number {
  const twice = corners.reduce((sum, [x, y], at) => {
    const [nextX, nextY] = corners[(at + 1) % corners.length]!;
    return sum + x * nextY - nextX * y;
  }, 0);
  return Math.abs(twice) / 2;
}
