// The measured channels: each joined to its column, cell and plane, its gains taken from itself, else from
// channel_defaults, else from the stated default, and its column's unit checked against its kind.
import { defaults } from '../schema/defaults.ts';
import { unitFinding } from './quantityFindings.ts';
import type { Cell, Channel, ChannelKind, Column, Plane } from '../logHeader.ts';
import { nearest } from '../nearest.ts';
import type { ProblemList } from '../problemList.ts';
import { siOf, unitScale } from '../units/quantity.ts';
import type { Dimension } from '../units/quantity.ts';
import type { RawChannel, RawStrainLog } from '../schema/schema.ts';
import type { Path } from '../yaml/yamlPlaces.ts';
import { changeTo, didYouMean, listed } from '../schema/wording.ts';

/** What the channels are joined to. `planeNames` and `cellNames` hold the faulty ones too, so as not to accuse twice. */
export interface ChannelContext {
  readonly columns: readonly Column[];
  readonly cells: readonly Cell[];
  readonly planes: readonly Plane[];
  readonly cellNames: readonly string[];
  readonly planeNames: readonly string[];
  /** Path of the block that declares the columns, and of the strain_log block. */
  readonly columnsPath: Path;
  readonly path: Path;
  readonly list: ProblemList;
  readonly lineOf: (path: Path) => number;
}

/** Where columns, cells and planes stand in their lists, by name; -1 for a cell or plane that is faulty. */
interface Places {
  readonly column: ReadonlyMap<string, number>;
  readonly cell: ReadonlyMap<string, number>;
  readonly plane: ReadonlyMap<string, number>;
}

const dimensionOfKind: Readonly<Record<ChannelKind, Dimension>> = {
  temperature: 'temperature',
  bragg: 'length',
  'spectral-shift': 'frequency',
  strain: 'strain',
};

/** In the order of their columns. Faulty ones are left out, their problems told. */
export function resolveChannels(raw: RawStrainLog, context: ChannelContext): Channel[] {
  const channels: Channel[] = [];
  const used: RawChannel[] = [];
  const leftOut: [block: string, name: string][] = [];
  const at = placesIn(context);
  for (const [name, channel] of Object.entries(raw.channels)) {
    const path = [...context.path, 'channels', name];
    if (typeof channel !== 'object' || channel === null || context.list.spoilt(path)) continue;
    const merged = withDefaults(channel, raw.channel_defaults);
    const column = columnOf(name, path, at, context);
    checkUnit(context.columns[column], merged, path, context);
    const cell = cellOf(merged, path, at, context);
    const plane = planeOf(merged, path, at, context);
    checkNeeds(merged, path, context.list);
    checkCompensated(channel, merged, path, context.list);
    if (context.list.spoilt(path)) continue;
    if (merged.cell !== undefined && cell < 0) {
      leftOut.push(['cells', merged.cell]);
      continue;
    }
    if (plane === undefined) {
      leftOut.push(['planes', merged.plane!]);
      continue;
    }
    used.push(merged);
    channels.push({ name, column, cell, plane, line: context.lineOf(path), ...constantsOf(merged) });
  }
  tellLeftOut(leftOut, context);
  tellAssumed(used, [...context.path, 'channels'], context.list);
  return channels.sort((a, b) => a.column - b.column); // the order of keys means nothing, and other programs change it
}

function placesIn({ columns, cells, planes, cellNames, planeNames }: ChannelContext): Places {
  const placed = (
    names: readonly string[],
    items: readonly { readonly name: string }[],
  ): ReadonlyMap<string, number> => {
    const known = new Map(items.map(({ name }, i) => [name, i] as const).reverse());
    return new Map(names.map((name) => [name, known.get(name) ?? -1]));
  };
  return {
    column: placed(
      columns.map(({ name }) => name),
      columns,
    ),
    cell: placed(cellNames, cells),
    plane: placed(planeNames, planes),
  };
}

/** Says once for each faulty cell or plane how many channels hang on it. */
function tellLeftOut(leftOut: readonly [block: string, name: string][], { path, list }: ChannelContext): void {
  const counts = new Map<string, number>();
  for (const item of leftOut) counts.set(JSON.stringify(item), (counts.get(JSON.stringify(item)) ?? 0) + 1);
  for (const [item, count] of counts) {
    list.atKey([...path, ...(JSON.parse(item) as [string, string])], {
      severity: 'information',
      code: 'channels-left-out',
      message: `${count === 1 ? 'one channel hangs' : `${count} channels hang`} on this and ${count === 1 ? 'is' : 'are'} left out of the analysis until its error is mended`,
    });
  }
}

/** Only an optical reading can be a strain-free reference; elsewhere the key is not used, and told so. */
function withDefaults(channel: RawChannel, defaultsByKind: RawStrainLog['channel_defaults']): RawChannel {
  const { kind } = channel;
  const ofKind = kind === 'temperature' ? undefined : defaultsByKind?.[kind];
  const optical = kind === 'bragg' || kind === 'spectral-shift';
  return { ...ofKind, ...channel, strain_free: optical && (channel.strain_free ?? false) };
}

function columnOf(name: string, path: Path, at: Places, { columns, list }: ChannelContext): number {
  const index = at.column.get(name) ?? -1;
  if (index < 0) {
    const near = nearest(
      name,
      columns.map((column) => column.name),
    );
    list.atKey(path, {
      code: 'column-unknown',
      message: `the table has no column '${name}', so this channel is left out; ${didYouMean(near, 'name it as the column is named')}`,
      ...changeTo(near),
    });
  }
  return index;
}

function checkUnit(column: Column | undefined, { kind }: RawChannel, path: Path, context: ChannelContext): void {
  if (!column) return;
  const dimension = dimensionOfKind[kind];
  const result = unitScale(column.unit, dimension);
  if (result.ok) return;
  const index = context.columns.indexOf(column);
  const columnPath = [...context.columnsPath, index];
  if (column.unit === '') {
    context.list.at(context.list.places.valueRange(columnPath), path, {
      code: 'unit-missing',
      message: `the column '${column.name}' has no unit, but a ${kind} channel needs a ${dimension}; add it, for example unit: ${usualColumnUnit[kind]}`,
    });
    return;
  }
  context.list.at(
    context.list.places.valueRange([...columnPath, 'unit']),
    path,
    unitFinding(column.unit, result, dimension, (unit) => unit),
  );
}

const usualColumnUnit: Readonly<Record<ChannelKind, string>> = {
  temperature: 'deg_C',
  bragg: 'nm',
  'spectral-shift': 'GHz',
  strain: 'um/m',
};

function cellOf(channel: RawChannel, path: Path, at: Places, { cellNames, list }: ChannelContext): number {
  if (channel.cell === undefined) {
    if (channel.kind !== 'temperature' && !channel.strain_free) {
      list.atKey(path, {
        code: 'cell-missing',
        message: 'a strain-bearing channel belongs to a cell; add cell: with its name',
      });
    }
    return -1;
  }
  const index = at.cell.get(channel.cell);
  if (index === undefined) unknownName('cell', channel.cell, cellNames, [...path, 'cell'], list);
  return index ?? -1;
}

/** -1 where the log names no planes, or the channel needs none; undefined where the plane cannot be told. */
function planeOf(
  channel: RawChannel,
  path: Path,
  at: Places,
  { planes, planeNames, list }: ChannelContext,
): number | undefined {
  const ofTemperature = channel.kind === 'temperature' || channel.strain_free;
  if (channel.plane === undefined) {
    // A temperature holds for the whole cell unless it names its plane.
    if (ofTemperature) return -1;
    if (planeNames.length > 1) {
      list.atKey(path, {
        code: 'plane-missing',
        message: `with more than one plane a strain-bearing channel names its own; add plane: ${planeNames.join(' or ')}`,
      });
      return undefined;
    }
    return planes.length - 1;
  }
  const index = at.plane.get(channel.plane);
  if (index === undefined) unknownName('plane', channel.plane, planeNames, [...path, 'plane'], list);
  return index === undefined || index < 0 ? undefined : index;
}

function unknownName(
  what: 'cell' | 'plane',
  name: string,
  names: readonly string[],
  path: Path,
  list: ProblemList,
): void {
  const near = nearest(name, names);
  list.atValue(path, {
    code: `${what}-unknown`,
    message: `no ${what} '${name}' is declared under ${what}s, so this channel is left out; ${didYouMean(near, `declare it, or name one of: ${listed(names) || 'none yet'}`)}`,
    ...changeTo(near),
  });
}

/** What a kind needs to be turned into strain or temperature. */
function checkNeeds(channel: RawChannel, path: Path, list: ProblemList): void {
  const { kind } = channel;
  if (kind !== 'temperature' && !channel.strain_free && channel.direction === undefined) {
    list.atKey(path, {
      code: 'direction-missing',
      message: 'a strain-bearing channel needs the direction of its fibre; add for example direction: 45 deg',
    });
  }
  if (kind === 'bragg' && channel.rest === undefined) {
    list.atKey(path, {
      code: 'rest-missing',
      message: 'a bragg channel needs its wavelength without strain; add for example rest: 1550.120 nm',
    });
  } else if (kind === 'bragg' && siOf(channel.rest, 'length', 1) <= 0) {
    list.atValue([...path, 'rest'], {
      code: 'out-of-range',
      message: `${channel.rest} cannot be a wavelength; give the reading without strain, for example 1550.120 nm`,
    });
  }
}

/** A gain that nothing is left to do for; one from channel_defaults may be for the others. */
function checkCompensated(
  { kind, compensated, thermal_gain: own }: RawChannel,
  merged: RawChannel,
  path: Path,
  list: ProblemList,
): void {
  if (kind !== 'strain' || own === undefined || !merged.compensated) return;
  list.atKey([...path, 'thermal_gain'], {
    severity: 'warning',
    code: 'key-unused',
    message: `temperature has been taken out already (compensated: true${compensated ? '' : ' under channel_defaults'}), so 'thermal_gain' is not used; remove one of the two`,
  });
}

/** Says once for each gain how many channels rest on its default: the published values differ between fibres. */
function tellAssumed(channels: readonly RawChannel[], path: Path, list: ProblemList): void {
  for (const { kind, key, value, spread } of assumable) {
    const rests = (channel: RawChannel): boolean => channel.kind === kind && !channel.compensated;
    const lacking = channels.filter((channel) => rests(channel) && channel[key] === undefined).length;
    if (lacking === 0) continue;
    list.atKey(path, {
      severity: 'information',
      code: 'gain-assumed',
      message: `${lacking} ${kind} channel${lacking === 1 ? ' has' : 's have'} no ${key}, so ${value} is assumed (${spread}); give the sensor maker's value, once under channel_defaults`,
    });
  }
}

const assumable = [
  { kind: 'bragg', key: 'strain_gain', value: defaults.strainGain, spread: 'silica fibres: 0.78 to 0.79' },
  {
    kind: 'bragg',
    key: 'thermal_gain',
    value: defaults.thermalGain,
    spread: 'published: 6e-6 to 9e-6 1/K by the doping of the fibre',
  },
  { kind: 'spectral-shift', key: 'strain_slope', value: defaults.strainSlope, spread: 'silica at 1550 nm' },
  {
    kind: 'spectral-shift',
    key: 'thermal_slope',
    value: defaults.thermalSlope,
    spread: 'silica at 1550 nm, at constant length',
  },
  {
    kind: 'strain',
    key: 'thermal_gain',
    value: defaults.apparentStrain,
    spread: 'right for true total strain; a shift of wavelength over its gain shows some 8.3e-6 1/K',
  },
] as const;

function constantsOf(channel: RawChannel): Omit<Channel, 'name' | 'column' | 'cell' | 'plane' | 'line'> {
  const { kind } = channel;
  return {
    kind,
    directionRad: kind === 'temperature' ? NaN : siOf(channel.direction, 'angle', NaN),
    rest:
      kind === 'bragg'
        ? siOf(channel.rest, 'length', NaN)
        : kind === 'spectral-shift'
          ? siOf(channel.rest, 'frequency', 0)
          : 0,
    ...gainsOf(channel),
    compensated: kind === 'strain' && (channel.compensated ?? false),
    strainFree: channel.strain_free ?? false,
  };
}

function gainsOf(channel: RawChannel): { strainGain: number; thermalGain: number } {
  switch (channel.kind) {
    case 'bragg':
      return {
        strainGain: channel.strain_gain ?? defaults.strainGain,
        thermalGain: siOf(channel.thermal_gain ?? defaults.thermalGain, 'per kelvin', NaN),
      };
    case 'spectral-shift':
      return {
        strainGain: siOf(channel.strain_slope ?? defaults.strainSlope, 'frequency per strain', NaN),
        thermalGain: siOf(channel.thermal_slope ?? defaults.thermalSlope, 'frequency per kelvin', NaN),
      };
    case 'strain':
      return {
        strainGain: 1,
        thermalGain: channel.compensated ? 0 : siOf(channel.thermal_gain ?? defaults.apparentStrain, 'per kelvin', NaN),
      };
    case 'temperature':
      return { strainGain: 0, thermalGain: 0 };
  }
}
