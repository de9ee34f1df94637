// A comparison with good builds as text (`path:line:col: level: message [code]`), JSON (`underplate-compare/1`: keys may
// be added, never changed) or Markdown. Strain in microstrain.
import type { Alignment } from '../../core/compare/layerProfile.ts';
import { shortestRun } from '../../core/compare/excursions.ts';
import type { Comparison, Excursion } from '../../core/compare/excursions.ts';
import { plainMarkdown } from '../../core/display/text/markdownText.ts';
import { clock, countOf, fixed, withUnit } from '../../core/display/numberFormat.ts';
import { microstrain } from '../../core/display/units.ts';
import { rounded } from '../../core/contract/checkContract.ts';
import { version } from '../version.ts';

export interface ComparedLog {
  /** As shown. */
  readonly path: string;
  readonly references: readonly string[];
  readonly alignment: Alignment;
  readonly coverage: number;
  readonly comparison: Comparison;
  /** Line of a layer's first row. */
  lineOf(key: number): number;
  readonly cautions: readonly string[];
}

export function comparisonText(log: ComparedLog): string {
  const lines = byRosette(log.comparison.excursions).map((group) => {
    const line = log.lineOf(Math.min(...group.map(({ fromKey }) => fromKey)));
    return `${log.path}:${line}:1: warning: ${groupMessage(group, log.alignment)} [outside-band]`;
  });
  const cautions = log.cautions.map((caution) => `${log.path}: ${caution}`);
  return `${[...lines, ...cautions, `${log.path}: ${summary(log)}`].join('\n')}\n`;
}

export function comparisonMarkdown(log: ComparedLog): string {
  const groups = byRosette(log.comparison.excursions);
  const rows = groups.flatMap((group) =>
    group.map((one) => {
      const range = keyRange(one.fromKey, one.toKey, log.alignment);
      const band = `${strain(one.centre)} ± ${strain(one.halfWidth)}`;
      return `| ${plainMarkdown(one.id, 'legible')} | ${range} | ${keyText(one.worstKey, log.alignment)} | ${strain(one.value)} | ${band} | ${fixed(one.howFar, 1)} |`;
    }),
  );
  const head =
    '| component | outside | farthest at | there | good builds | half-widths |\n| --- | --- | --- | ---: | ---: | ---: |';
  const table = rows.length > 0 ? `${head}\n${rows.join('\n')}\n\n` : '';
  const cautions = log.cautions.map((caution) => `- ${plainMarkdown(caution, 'legible')}\n`).join('');
  return `## ${plainMarkdown(log.path, 'legible')} against good builds\n\n${table}${summary(log)}\n\n${cautions}\nunderplate ${version} · advice, no safety interlock\n`;
}

export function comparisonJson(log: ComparedLog): string {
  const { comparison, alignment } = log;
  const written = {
    schema: 'underplate-compare/1',
    version,
    path: log.path,
    references: log.references,
    aligned_by: alignment.by,
    stretch_s: alignment.by === 'time' ? alignment.stretchS : null,
    coverage: log.coverage,
    compared: comparison.compared,
    outside: comparison.outside,
    beyond: comparison.beyond,
    unmatched: comparison.unmatched,
    excursions: comparison.excursions.map((one) => ({
      component: one.id,
      cell: one.cell,
      plane: one.plane,
      line: log.lineOf(one.fromKey),
      from: one.fromKey,
      to: one.toKey,
      layers: one.layers,
      worst: one.worstKey,
      value_microstrain: rounded(one.value * microstrain.scale, 1),
      centre_microstrain: rounded(one.centre * microstrain.scale, 1),
      half_width_microstrain: rounded(one.halfWidth * microstrain.scale, 1),
      builds: one.builds,
      half_widths: rounded(one.howFar, 2),
    })),
    cautions: log.cautions,
  };
  return `${JSON.stringify(written, null, 2)}\n`;
}

/** Excursions of one cell and plane together, in the order of the farthest of each. */
function byRosette(excursions: readonly Excursion[]): Excursion[][] {
  const groups = new Map<string, Excursion[]>();
  for (const one of excursions) {
    const key = `${one.cell}\n${one.plane}`;
    groups.set(key, [...(groups.get(key) ?? []), one]);
  }
  return [...groups.values()];
}

function groupMessage(group: readonly Excursion[], alignment: Alignment): string {
  const [worst, ...others] = group as [Excursion, ...Excursion[]];
  const name = `${worst.cell}${worst.plane === '' ? '' : ` ${worst.plane}`}`;
  const from = Math.min(...group.map(({ fromKey }) => fromKey));
  const to = Math.max(...group.map(({ toKey }) => toKey));
  const rest = [...new Set(others.map(({ id }) => id))].filter((id) => id !== worst.id);
  const also = rest.length > 0 ? `; also ${rest.join(', ')}` : '';
  const band = `${strain(worst.centre)} ± ${withUnit(strain(worst.halfWidth), microstrain.unitLabel)}`;
  return (
    `${name} lies outside good builds in ${keyRange(from, to, alignment)}, farthest at ${keyText(worst.worstKey, alignment)}: ` +
    `${worst.id} ${strain(worst.value)} where ${worst.builds} builds give ${band}, ${fixed(worst.howFar, 1)} half-widths${also}`
  );
}

function summary({ comparison, references, coverage, alignment }: ComparedLog): string {
  const { compared, outside, beyond, excursions } = comparison;
  const [one, many] = alignment.by === 'layer' ? ['layer', 'layers'] : ['stretch', 'stretches'];
  const share = compared > 0 ? `${fixed((100 * outside) / compared, 1)} %` : 'none';
  const chance = `${Number(((1 - coverage) * 100).toPrecision(2))} % would be by chance`;
  const runs =
    outside > 0 && excursions.length === 0 ? `; nowhere in ${shortestRun} ${many} on end, so none is told` : '';
  const past =
    beyond > 0
      ? `; ${countOf(beyond, `${one} reaches`, `${many} reach`)} beyond the good builds and ${beyond === 1 ? 'was' : 'were'} not compared`
      : '';
  return `${outside} of ${countOf(compared, `${one} value`, `${one} values`)} (${share}) outside the band of ${references.length} good builds; ${chance}${runs}${past}`;
}

function keyRange(from: number, to: number, alignment: Alignment): string {
  if (alignment.by === 'layer') return from === to ? `layer ${from}` : `layers ${from} to ${to}`;
  return `${clock(from * alignment.stretchS)} to ${clock((to + 1) * alignment.stretchS)}`;
}

function keyText(key: number, alignment: Alignment): string {
  return alignment.by === 'layer' ? `layer ${key}` : clock(key * alignment.stretchS);
}

/** In microstrain, without the unit. */
function strain(value: number): string {
  return fixed(value * microstrain.scale, 1);
}
