// What truly happened in a simulated build, for scoring: one entry an event, in order of time.
// As text it is YAML, one event a block, in the units that people read: s, mm, um/m.
import type { Course } from './breaks.ts';
import { insideOutline, largestStrain } from './plateField.ts';
import type { Scenario } from './scenario.ts';
import type { Fault } from './sensorFaults.ts';
import type { SimulatedBuild } from './simulatedBuild.ts';

export type TrueNature = 'mechanical' | 'thermal' | 'sensor';

export interface TrueChange {
  readonly cell: string;
  readonly plane: string;
  /** ex, ey, gxy in strain. */
  readonly change: readonly [number, number, number];
}

export interface TrueEvent {
  readonly nature: TrueNature;
  readonly kind: string;
  /** The scenario's own name for it, '' where none. */
  readonly label: string;
  readonly timeS: number;
  /** End of what passes; NaN for what lasts. When a slow one has reached its size: `fullTimeS`. */
  readonly endTimeS: number;
  readonly fullTimeS: number;
  readonly layer: number;
  readonly part: string;
  /** NaN for thermal and sensor events. */
  readonly originM: readonly [number, number];
  /** Largest change of strain along any direction at the strongest cell; and in multiples of one reading's noise. */
  readonly size: number;
  readonly sigmas: number;
  /** Strongest first; those below a hundredth of the strongest are left out. */
  readonly cells: readonly TrueChange[];
  /** Names of the sick columns. */
  readonly channels: readonly string[];
}

export function trueEvents(build: SimulatedBuild): TrueEvent[] {
  const layerAt = (timeS: number): number => {
    let layer = 0;
    while (layer < build.scenario.build.layers && timeS >= build.clock.startS(layer + 1)) layer++;
    return layer;
  };
  const events = [
    ...build.courses.map((course) => mechanical(build.scenario, course, build.sigma)),
    ...build.faults.map((fault) => sick(build, fault)),
    ...build.clock.pauses.map(({ fromS, toS }) => ({
      ...empty,
      kind: 'heat',
      timeS: fromS,
      endTimeS: toS,
      fullTimeS: toS,
    })),
  ];
  return events
    .map((event) => ({ ...event, layer: layerAt(event.timeS) }))
    .filter((event) => event.timeS < build.clock.endS)
    .sort((a, b) => a.timeS - b.timeS);
}

const empty: Omit<TrueEvent, 'kind' | 'timeS' | 'endTimeS' | 'fullTimeS'> = {
  nature: 'thermal',
  label: '',
  layer: 0,
  part: '',
  originM: [NaN, NaN],
  size: NaN,
  sigmas: NaN,
  cells: [],
  channels: [],
};

function mechanical(scenario: Scenario, course: Course, sigma: number): TrueEvent {
  const cells = scenario.planes
    .flatMap((plane, p) =>
      scenario.cells.map((cell, c) => ({ cell: cell.name, plane: plane.name, change: course.pattern[p]![c]! })),
    )
    .sort((a, b) => largestStrain(b.change) - largestStrain(a.change));
  const size = cells[0] ? largestStrain(cells[0].change) : 0;
  const [x, y] = course.originM;
  const under = scenario.parts.find(({ outlineM }) => insideOutline(outlineM, x, y));
  return {
    ...empty,
    nature: 'mechanical',
    kind: course.kind,
    label: course.label,
    timeS: course.fromS,
    endTimeS: course.kind === 'strike' ? course.toS : NaN,
    fullTimeS: course.toS,
    part: scenario.parts[course.part]?.name ?? under?.name ?? '',
    originM: course.originM,
    size,
    sigmas: size / sigma,
    cells: cells.filter(({ change }) => largestStrain(change) >= size / 100),
  };
}

function sick(build: SimulatedBuild, fault: Fault): TrueEvent {
  const [firstS, lastS] = fault.kind === 'spike' ? [fault.timesS[0]!, fault.timesS.at(-1)!] : [fault.fromS, fault.toS];
  return {
    ...empty,
    nature: 'sensor',
    kind: fault.kind,
    label: fault.label,
    timeS: firstS,
    endTimeS: lastS < build.clock.endS ? lastS : NaN,
    fullTimeS: fault.kind === 'wander' ? Math.min(fault.toS, build.clock.endS) : firstS,
    size: fault.kind === 'dropout' || fault.kind === 'stuck' ? NaN : Math.abs(fault.sizeStrain),
    sigmas: fault.kind === 'dropout' || fault.kind === 'stuck' ? NaN : Math.abs(fault.sizeStrain) / build.sigma,
    channels: fault.channels.map((channel) => build.columns[channel]!.name),
  };
}

export function truthText(build: SimulatedBuild, logName: string): string {
  const lines = [
    `# What truly happens in ${logName}, simulated with seed ${build.scenario.seed}. Strain in um/m, tension positive; [ex, ey, gxy].`,
    'truth: 1',
    `noise_microstrain: ${round(build.sigma * 1e6, 3)}`,
    'events:',
  ];
  for (const event of trueEvents(build)) lines.push(...eventLines(event));
  if (lines.at(-1) === 'events:') lines[lines.length - 1] = 'events: []';
  return `${lines.join('\n')}\n`;
}

function eventLines(event: TrueEvent): string[] {
  const optional: [string, string | undefined][] = [
    ['label', event.label === '' ? undefined : event.label],
    ['end_time_s', finite(event.endTimeS, 3)],
    ['full_time_s', event.fullTimeS > event.timeS ? finite(event.fullTimeS, 3) : undefined],
    ['layer', String(event.layer)],
    ['part', event.part === '' ? undefined : event.part],
    ['origin_mm', Number.isNaN(event.originM[0]) ? undefined : list(event.originM, 1e3, 1)],
    ['size_microstrain', finite(event.size * 1e6, 2)],
    ['size_sigmas', finite(event.sigmas, 2)],
    ['channels', event.channels.length > 0 ? `[${event.channels.join(', ')}]` : undefined],
  ];
  const cells = event.cells.map(
    ({ cell, plane, change }) => `  - {cell: ${cell}, plane: ${plane}, change_microstrain: ${list(change, 1e6, 2)}}`,
  );
  return [
    `- nature: ${event.nature}`,
    `  kind: ${event.kind}`,
    `  time_s: ${round(event.timeS, 3)}`,
    ...optional.flatMap(([key, value]) => (value === undefined ? [] : [`  ${key}: ${value}`])),
    ...(cells.length > 0 ? ['  cells:', ...cells] : []),
  ];
}

function finite(value: number, decimals: number): string | undefined {
  return Number.isFinite(value) ? round(value, decimals) : undefined;
}

function list(values: readonly number[], factor: number, decimals: number): string {
  return `[${values.map((value) => round(value * factor, decimals)).join(', ')}]`;
}

function round(value: number, decimals: number): string {
  return String(Number(value.toFixed(decimals)) + 0);
}
