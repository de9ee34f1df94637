// A build against the band of good ones: where it lies outside, and how far in half-widths of the band (1 is its edge).
import type { Band } from './referenceBand.ts';
import type { LayerProfile, Trace } from './layerProfile.ts';

/** A run of layers (or stretches) in which one component of one cell lies outside. */
export interface Excursion {
  readonly id: string;
  readonly cell: string;
  readonly plane: string;
  readonly fromKey: number;
  readonly toKey: number;
  /** How many layers of the run were compared, and lie outside. */
  readonly layers: number;
  /** Where it is farthest out, and there: value and band, dimensionless strain, and how many builds it rests on. */
  readonly worstKey: number;
  readonly value: number;
  readonly centre: number;
  readonly halfWidth: number;
  readonly builds: number;
  /** |value - centre| / halfWidth at the worst layer, above 1. */
  readonly howFar: number;
}

export interface Comparison {
  /** Farthest out first. */
  readonly excursions: readonly Excursion[];
  /** Layers of all components that were compared, and those of them outside. */
  readonly compared: number;
  readonly outside: number;
  /** Traces of the build that no band was found for, by id. */
  readonly unmatched: readonly string[];
  /** Layers of the build beyond those that two good builds reached. */
  readonly beyond: number;
}

/** A layer or two outside is what one in twenty does; a run of three begins to mean something. */
export const shortestRun = 3;
/** A run bridges so many layers that lie just inside. */
const bridgedLayers = 2;

export function compareToBands(build: LayerProfile, bands: readonly Band[]): Comparison {
  const byId = new Map(bands.map((band) => [band.id, band]));
  const excursions: Excursion[] = [];
  const unmatched: string[] = [];
  const beyond = new Set<number>();
  let compared = 0;
  let outside = 0;
  for (const trace of build.traces) {
    const band = byId.get(trace.id);
    if (!band) {
      unmatched.push(trace.id);
      continue;
    }
    const layers = layersOf(trace, band);
    for (const key of trace.keys) if (key > band.keys.at(-1)!) beyond.add(key);
    compared += layers.length;
    outside += layers.filter(({ howFar }) => howFar > 1).length;
    excursions.push(...runs(layers).map((run) => excursionOf(run, band)));
  }
  excursions.sort((a, b) => b.howFar - a.howFar || (a.id < b.id ? -1 : 1));
  return { excursions, compared, outside, unmatched, beyond: beyond.size };
}

interface ComparedLayer {
  readonly key: number;
  readonly value: number;
  readonly at: number;
  readonly howFar: number;
}

function layersOf(trace: Trace, band: Band): ComparedLayer[] {
  const places = new Map(band.keys.map((key, at) => [key, at]));
  return trace.keys.flatMap((key, n) => {
    const at = places.get(key);
    if (at === undefined) return [];
    const value = trace.values[n]!;
    return [{ key, value, at, howFar: Math.abs(value - band.centre[at]!) / band.halfWidth[at]! }];
  });
}

function runs(layers: readonly ComparedLayer[]): ComparedLayer[][] {
  const found: ComparedLayer[][] = [];
  let run: ComparedLayer[] = [];
  let inside = 0;
  for (const layer of layers) {
    if (layer.howFar > 1) {
      run.push(layer);
      inside = 0;
    } else if (run.length > 0 && ++inside > bridgedLayers) {
      found.push(run);
      run = [];
      inside = 0;
    }
  }
  return [...found, run].filter(({ length }) => length >= shortestRun);
}

function excursionOf(run: readonly ComparedLayer[], band: Band): Excursion {
  const worst = run.reduce((most, layer) => (layer.howFar > most.howFar ? layer : most));
  const { id, cell, plane } = band;
  return {
    id,
    cell,
    plane,
    fromKey: run[0]!.key,
    toKey: run.at(-1)!.key,
    layers: run.length,
    worstKey: worst.key,
    value: worst.value,
    centre: band.centre[worst.at]!,
    halfWidth: band.halfWidth[worst.at]!,
    builds: band.builds[worst.at]!,
    howFar: worst.howFar,
  };
}
