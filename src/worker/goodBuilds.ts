// A comparison with good builds, computed where the log is read, in the form the view draws.
import { compareBuilds } from '../core/compare/compareBuilds.ts';
import type { ProfiledBuild } from '../core/compare/compareBuilds.ts';
import { startProfile } from '../core/compare/layerProfile.ts';
import type { LayerProfile } from '../core/compare/layerProfile.ts';
import type { Band } from '../core/compare/referenceBand.ts';
import { microstrain } from '../core/display/units.ts';
import { sickSpells } from '../core/pipeline/sickSpells.ts';
import type { Session } from '../core/session.ts';
import type { ByteSource } from '../core/table/byteSource.ts';
import { readRows } from '../core/table/rowReader.ts';
import type { DrawnBand, GoodBuilds } from '../messages/goodBuilds.ts';

/** A log that has been read, boiled down to its layers; its rows are read again. @throws Error as startProfile does. */
export async function profileBuild(name: string, session: Session, source: ByteSource): Promise<ProfiledBuild> {
  const { basis, problems, index } = session;
  const sick = basis ? sickSpells(basis, session.events) : [];
  const profiler = startProfile({ name, basis, problems, sick }, { by: 'layer' });
  const { header } = basis!;
  await readRows(source, header, index!, 0, index!.rows, (block) => profiler.push(block));
  return { name, header, profile: profiler.finish(name) };
}

/** `endS`: time of the log's last row. @throws Error as compareBuilds does. */
export function goodBuildsFor(
  log: ProfiledBuild,
  good: readonly ProfiledBuild[],
  coverage: number,
  endS: number,
): GoodBuilds {
  const { bands, comparison, cautions } = compareBuilds(log, good, coverage);
  const { header, profile } = log;
  const spans = layerSpans(profile, endS);
  const first = new Map([...spans].reverse().map((span) => [span.key, span]));
  const last = new Map(spans.map((span) => [span.key, span]));
  return {
    names: good.map(({ name }) => name),
    coverage,
    bands: bands.map((band) => drawnBand(band, spans)),
    outside: comparison.excursions.map((one) => ({
      series: one.id,
      cell: header.cells.findIndex(({ name }) => name === one.cell),
      plane: header.planes.findIndex(({ name }) => name === one.plane),
      fromLayer: one.fromKey,
      toLayer: one.toKey,
      fromS: first.get(one.fromKey)!.fromS,
      toS: last.get(one.toKey)!.toS,
      worstLayer: one.worstKey,
      worstS: first.get(one.worstKey)!.fromS,
      worstLine: first.get(one.worstKey)!.line,
      value: one.value * microstrain.scale,
      centre: one.centre * microstrain.scale,
      halfWidth: one.halfWidth * microstrain.scale,
      builds: one.builds,
      howFar: one.howFar,
    })),
    comparedValues: comparison.compared,
    outsideValues: comparison.outside,
    beyondLayers: comparison.beyond,
    cautions,
  };
}

interface LayerSpan {
  readonly key: number;
  readonly line: number;
  readonly fromS: number;
  readonly toS: number;
}

function layerSpans({ places }: LayerProfile, endS: number): LayerSpan[] {
  return places.map(({ key, line, timeS }, at) => ({ key, line, fromS: timeS, toS: places[at + 1]?.timeS ?? endS }));
}

function drawnBand(band: Band, spans: readonly LayerSpan[]): DrawnBand {
  const at = new Map(band.keys.map((key, index) => [key, index]));
  const held = spans.filter(({ key }) => at.has(key));
  const edge = (sign: 1 | -1): Float64Array =>
    Float64Array.from(held, ({ key }) => {
      const index = at.get(key)!;
      return (band.centre[index]! + sign * band.halfWidth[index]!) * microstrain.scale;
    });
  return {
    series: band.id,
    fromS: Float64Array.from(held, ({ fromS }) => fromS),
    toS: Float64Array.from(held, ({ toS }) => toS),
    low: edge(-1),
    high: edge(1),
  };
}
