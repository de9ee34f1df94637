// Good builds side by side -> the band in which one more good build would lie, layer by layer and component by component:
// a normal prediction interval for one future value, centre ± t · spread · sqrt(1 + 1/n) (Hahn & Meeker, Statistical
// Intervals, 1991, ch. 4). From `robustFrom` builds on, one bad build among them may not widen the band: then the centre
// is the median and the spread the median absolute deviation with the small-sample factors of Croux & Rousseeuw (1992),
// at the degrees of freedom its efficiency of 37 % leaves (Rousseeuw & Croux 1993).
// The spread between builds changes slowly with height, and of few builds it is known badly in any one layer: it is
// pooled over neighbouring layers. Layers of one build are no independent trials, so that the pool adds no degrees of
// freedom: the band errs to the wide side.
import { median } from './layerProfile.ts';
import type { LayerProfile, Trace } from './layerProfile.ts';
import { twoSidedT } from './studentT.ts';

export interface BandOptions {
  /** Share of good builds that a layer's band is to hold, 0 to 1. */
  readonly coverage: number;
  /** Half-width below which a difference is not worth telling, dimensionless strain above 0. */
  readonly smallest: number;
}

/** Of one trace. Arrays have one entry per key; a key that fewer than two builds have is left out. */
export interface Band {
  readonly id: string;
  readonly cell: string;
  readonly plane: string;
  readonly keys: readonly number[];
  readonly centre: readonly number[];
  /** Always above 0. */
  readonly halfWidth: readonly number[];
  /** How many builds it rests on. */
  readonly builds: readonly number[];
}

export const robustFrom = 7;
const pooledLayers = 10;

export function referenceBands(builds: readonly LayerProfile[], options: BandOptions): Band[] {
  const byId = new Map<string, Trace[]>();
  for (const { traces } of builds) {
    for (const trace of traces) byId.set(trace.id, [...(byId.get(trace.id) ?? []), trace]);
  }
  return [...byId.values()].flatMap((traces) => {
    const band = bandOf(traces, options);
    return band.keys.length > 0 ? [band] : [];
  });
}

/** How well the spread of `builds` values is known: its relative standard error, 1/sqrt(2 (n - 1)) (normal values). */
export function spreadUncertainty(builds: number): number {
  return 1 / Math.sqrt(2 * degreesOf(builds));
}

function bandOf(traces: readonly Trace[], { coverage, smallest }: BandOptions): Band {
  const byKey = new Map<number, number[]>();
  for (const { keys, values } of traces) {
    keys.forEach((key, at) => byKey.set(key, [...(byKey.get(key) ?? []), values[at]!]));
  }
  const keys = [...byKey.keys()].filter((key) => byKey.get(key)!.length >= 2).sort((a, b) => a - b);
  const values = keys.map((key) => byKey.get(key)!);
  const variances = pooled(values.map(varianceOf));
  const { id, cell, plane } = traces[0]!;
  return {
    id,
    cell,
    plane,
    keys,
    centre: values.map(centreOf),
    halfWidth: values.map((list, at) =>
      Math.max(smallest, widthFactor(list.length, coverage) * Math.sqrt(variances[at]!)),
    ),
    builds: values.map(({ length }) => length),
  };
}

function centreOf(values: readonly number[]): number {
  return values.length >= robustFrom ? median(values) : mean(values);
}

function varianceOf(values: readonly number[]): number {
  if (values.length >= robustFrom) return robustSpread(values) ** 2;
  const centre = mean(values);
  return values.reduce((sum, value) => sum + (value - centre) ** 2, 0) / (values.length - 1);
}

/** The variance of a sample's centre over that of one value: 1/n for the mean, pi/(2 n) for the median of many. */
function widthFactor(n: number, coverage: number): number {
  const ofCentre = n >= robustFrom ? Math.PI / (2 * n) : 1 / n;
  return twoSidedT(coverage, degreesOf(n)) * Math.sqrt(1 + ofCentre);
}

function degreesOf(n: number): number {
  return n >= robustFrom ? Math.max(1, 0.37 * (n - 1)) : n - 1;
}

/** 1.4826 makes it the standard deviation of normal values; the factors take out its bias in small samples. */
function robustSpread(values: readonly number[]): number {
  const centre = median(values);
  const n = values.length;
  const factors: Readonly<Record<number, number>> = { 7: 1.14, 8: 1.129, 9: 1.107 };
  return 1.4826 * (factors[n] ?? n / (n - 0.8)) * median(values.map((value) => Math.abs(value - centre)));
}

/** Mean over each entry and its neighbours on both sides. */
function pooled(variances: readonly number[]): number[] {
  return variances.map((_, at) =>
    mean(variances.slice(Math.max(0, at - pooledLayers), Math.min(variances.length, at + pooledLayers + 1))),
  );
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}
