// When each layer begins and what the machine does at a time: recoat, expose, dwell, one layer after the other, the
// exposure's length varying over the layers, and pauses in which the laser is off and the layer does not go on.
// Parts are exposed one after the other, each for a share of the exposure by its area.
import type { Moment, Scenario } from './scenario.ts';
import { RandomStream } from './random.ts';

export type Phase = 'recoat' | 'expose' | 'dwell';
export const phaseNames: readonly Phase[] = ['recoat', 'expose', 'dwell'];

export interface Instant {
  /** 0 before the first layer. */
  layer: number;
  /** Index into phaseNames. */
  phase: number;
  /** Part under the laser, -1 where none. */
  part: number;
  /** Share of the layer's exposure that is done, 0 to 1. */
  exposed: number;
}

export interface BuildClock {
  readonly endS: number;
  readonly pauses: readonly { readonly fromS: number; readonly toS: number }[];
  /** Each part's stretch of the exposure, 0 to 1. */
  readonly shares: readonly { readonly from: number; readonly to: number }[];
  /** Start of a layer, 1-based. */
  startS(layer: number): number;
  timeOf(moment: Moment): number;
  /** Fills `out` for a time; times asked must not run back by more than a layer. */
  at(timeS: number, out: Instant): void;
}

export function buildClock(scenario: Scenario): BuildClock {
  const { recoatS, dwellS } = scenario.layer;
  const layers = scenario.build.layers;
  const exposureS = exposureLengths(scenario);
  const startS = layerStarts(scenario.warmUpS, exposureS, recoatS + dwellS, []);
  const timeOf = (starts: Float64Array, moment: Moment): number =>
    'timeS' in moment ? moment.timeS : starts[Math.min(moment.layer, layers + 1) - 1]! + moment.afterS;
  // Pauses shift what follows; they are placed one after the other.
  const pauses: { fromS: number; toS: number }[] = [];
  for (const pause of scenario.pauses) {
    const fromS = timeOf(startS, pause.at);
    pauses.push({ fromS, toS: fromS + pause.lastsS });
    pauses.sort((a, b) => a.fromS - b.fromS);
    startS.set(layerStarts(scenario.warmUpS, exposureS, recoatS + dwellS, pauses));
  }
  const shares = exposureShares(scenario);
  let layer = 0;
  return {
    endS: startS[layers]!,
    pauses,
    shares,
    startS: (n) => startS[Math.min(Math.max(n, 1), layers + 1) - 1]!,
    timeOf: (moment) => timeOf(startS, moment),
    at(timeS, out) {
      while (layer > 0 && timeS < startS[layer - 1]!) layer--;
      while (layer < layers && timeS >= startS[layer]!) layer++;
      out.layer = layer;
      out.part = -1;
      out.exposed = 0;
      out.phase = 2;
      if (layer === 0) return;
      let sinceS = timeS - startS[layer - 1]!;
      let paused = false;
      for (const pause of pauses) {
        if (pause.fromS < startS[layer - 1]! || pause.fromS > timeS) continue;
        sinceS -= Math.min(timeS, pause.toS) - pause.fromS;
        paused ||= timeS < pause.toS;
      }
      const exposed = (sinceS - recoatS) / exposureS[layer - 1]!;
      out.phase = exposed < 0 ? 0 : exposed < 1 ? 1 : 2;
      out.exposed = Math.min(1, Math.max(0, exposed));
      if (out.phase === 1 && !paused) out.part = shares.findIndex(({ from, to }) => exposed >= from && exposed < to);
    },
  };
}

/** The area to expose changes slowly from layer to layer (autoregressive, over some twenty layers), and a little at random. */
function exposureLengths({ seed, layer, build }: Scenario): Float64Array {
  const random = new RandomStream(seed, 'layer times');
  const keep = 0.95;
  let slow = 0;
  return Float64Array.from({ length: build.layers }, () => {
    slow = slow * keep + layer.drift * Math.sqrt(1 - keep * keep) * random.normal();
    return layer.exposeS * Math.max(0.2, 1 + slow + layer.jitter * random.normal());
  });
}

function layerStarts(
  warmUpS: number,
  exposureS: Float64Array,
  restS: number,
  pauses: readonly { fromS: number; toS: number }[],
): Float64Array {
  const starts = new Float64Array(exposureS.length + 1);
  starts[0] = warmUpS;
  for (let i = 0; i < exposureS.length; i++) {
    let lengthS = exposureS[i]! + restS;
    for (const pause of pauses) {
      if (pause.fromS >= starts[i]! && pause.fromS < starts[i]! + lengthS) lengthS += pause.toS - pause.fromS;
    }
    starts[i + 1] = starts[i]! + lengthS;
  }
  return starts;
}

function exposureShares(scenario: Scenario): { from: number; to: number }[] {
  const areas = scenario.parts.map((part) => Math.abs(polygonArea(part.outlineM)));
  const total = areas.reduce((sum, area) => sum + area, 0);
  let from = 0;
  return areas.map((area) => {
    const share = { from, to: from + area / total };
    from = share.to;
    return share;
  });
}

/** Square metres; positive where the corners go counterclockwise. */
export function polygonArea(outlineM: readonly (readonly [number, number])[]): number {
  let twice = 0;
  outlineM.forEach(([x, y], i) => {
    const [nextX, nextY] = outlineM[(i + 1) % outlineM.length]!;
    twice += x * nextY - nextX * y;
  });
  return twice / 2;
}
