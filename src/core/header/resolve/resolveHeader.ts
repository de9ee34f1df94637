// From the header's plain values to the LogHeader that all else reads: checks that need several fields, defaults, SI.
// An error in one channel, cell, plane, part or derived series leaves that item out, one in build, datum, recoater or
// detection gives way to the default; any other error stops the analysis.
import { mostColumns } from '../../table/rowBlock.ts';
import { checkShape, isRecord } from './checkShape.ts';
import { checkLayout } from './checkLayout.ts';
import { checkRosettes } from './checkRosettes.ts';
import { defaults } from '../schema/defaults.ts';
import type { AnySchema } from '../schema/field.ts';
import type { Column, LogHeader, TableForm } from '../logHeader.ts';
import { nearest } from '../nearest.ts';
import { withPossibleReadings } from './possibleReadings.ts';
import type { ProblemList } from '../problemList.ts';
import { siOf, unitScale } from '../units/quantity.ts';
import { resolveChannels } from './resolveChannels.ts';
import { resolveCells, resolveParts, resolvePlanes } from './resolveLayout.ts';
import { resolvePlate } from './resolvePlate.ts';
import { formatVersion } from '../schema/schema.ts';
import type { RawStrainLog } from '../schema/schema.ts';
import { valueAt } from '../schema/schemaWalk.ts';
import { checkThermometers } from './thermometers.ts';
import { unitFinding } from './quantityFindings.ts';
import type { Path } from '../yaml/yamlPlaces.ts';
import { changeTo, didYouMean, listed } from '../schema/wording.ts';

export interface ResolveInput {
  readonly schema: AnySchema;
  /** All of the YAML; `path` leads to the strain_log block in it, `columnsPath` to the declared columns. */
  readonly value: unknown;
  readonly path: Path;
  readonly columnsPath: Path;
  readonly columns: readonly Column[];
  readonly table: TableForm;
  readonly list: ProblemList;
}

/** Blocks whose items can be left out one by one. */
const itemBlocks = ['channels', 'cells', 'planes', 'parts', 'derived'];
/** Blocks whose faulty values can give way to the default, with the error told: no number of the strain rests on them. */
const tolerantBlocks = ['build', 'datum', 'recoater', 'detection'];

export function resolveHeader(input: ResolveInput): LogHeader | undefined {
  const { schema, value, path, list } = input;
  const raw = valueAt(checkShape(schema, value, list), path) as RawStrainLog;
  if (!isRecord(raw) || !isRecord(raw.cells) || !isRecord(raw.channels)) return undefined; // and that has been told
  checkVersion(raw, path, list);
  checkStarted(raw.build?.started, [...path, 'build', 'started'], list);
  const planes = resolvePlanes(records(raw.planes), [...path, 'planes'], list);
  const cells = resolveCells(raw.cells, [...path, 'cells'], list);
  const parts = resolveParts(records(raw.parts), [...path, 'parts'], list);
  const roles = rolesOf(raw, input);
  const channels = resolveChannels(raw, {
    ...input,
    cells,
    planes,
    cellNames: Object.keys(raw.cells),
    planeNames: Object.keys(raw.planes ?? {}),
    lineOf: (at) => list.places.keyRange(at).line,
  });
  const datum = datumOf(raw.datum, [...path, 'datum'], list);
  const reach = reachOf(cells, parts);
  const plate = resolvePlate(records(raw.plate), reach, [...path, 'plate'], list);
  const header: LogHeader = {
    build: buildOf(raw.build, [...path, 'build'], list),
    plate,
    planes,
    cells,
    channels,
    columns: withPossibleReadings(input.columns, channels, roles),
    roles,
    datum,
    parts,
    recoaterDirectionRad: siOf(raw.recoater?.direction, 'angle', NaN),
    detection: detectionOf(list.spoilt([...path, 'detection']) ? undefined : raw.detection),
    derived: derivedOf(raw, input),
    table: input.table,
  };
  checkLayout(header, raw, path, list);
  checkRosettes(header, faultyCells(raw, path, list), path, list);
  checkThermometers(header, path, list);
  checkCounts(header, input);
  return channels.length === 0 || stops(path, list) ? undefined : header;
}

function buildOf(raw: RawStrainLog['build'], path: Path, list: ProblemList): LogHeader['build'] {
  return {
    name: textOr(raw?.name),
    started: textOr(raw?.started),
    layerHeightM: siOf(raw?.layer_height, 'length', NaN),
    plannedLayers: list.spoilt([...path, 'planned_layers']) ? 0 : (raw?.planned_layers ?? 0),
  };
}

/** One channel at least, and no more columns than can be read. */
function checkCounts({ channels }: LogHeader, { columns, columnsPath, path, list }: ResolveInput): void {
  if (channels.length === 0 && !list.problems.some((problem) => problem.severity === 'error')) {
    list.atKey([...path, 'channels'], {
      code: 'channels-missing',
      message: 'no channel is declared; name at least one measured column under channels',
    });
  }
  if (columns.length > mostColumns) {
    list.atKey([...columnsPath], {
      code: 'too-many-columns',
      message: `the log has ${columns.length} columns; at most ${mostColumns} can be read, so split it into several logs`,
    });
  }
}

/** Names of cells of which a channel was left out: what they then lack is an echo of that error. */
function faultyCells(raw: RawStrainLog, path: Path, list: ProblemList): ReadonlySet<string> {
  const faulty = Object.entries(raw.channels).filter(([name]) => list.spoilt([...path, 'channels', name]));
  return new Set(faulty.map(([, channel]) => textOr((channel as { cell?: unknown } | null)?.cell)));
}

function stops(path: Path, list: ProblemList): boolean {
  return list.errorPaths().some((at) => {
    const block = at[path.length];
    if (typeof block !== 'string' || !path.every((key, index) => at[index] === key)) return true;
    return !(tolerantBlocks.includes(block) || (itemBlocks.includes(block) && at.length > path.length + 1));
  });
}

/** Undefined where the block is no map: that has been reported by the schema. */
function records<T>(value: T): T | undefined {
  return isRecord(value) ? value : undefined;
}

function textOr(value: unknown): string {
  return typeof value === 'string' ? value : '';
}

function detectionOf(raw: RawStrainLog['detection']): LogHeader['detection'] {
  return {
    falseAlarmHours: siOf(raw?.false_alarm_budget ?? defaults.falseAlarmBudget, 'time', NaN) / 3600,
    smallestJump: siOf(raw?.smallest_jump ?? defaults.smallestJump, 'strain', NaN),
    mute: raw?.mute ?? [],
  };
}

function checkVersion(raw: RawStrainLog, path: Path, list: ProblemList): void {
  if (typeof raw.strain_log === 'number' && raw.strain_log !== formatVersion) {
    list.atValue([...path, 'strain_log'], {
      code: 'version-unknown',
      message: `this is version ${raw.strain_log} of the header; version ${formatVersion} is known here, so use a newer release or write version ${formatVersion}`,
    });
  }
}

/** ISO 8601 date, or date and time, with or without a zone. */
const isoTime = /^\d{4}-\d\d-\d\d(?:[T ]\d\d:\d\d(?::\d\d(?:[.,]\d+)?)?(?:Z|[+-]\d\d(?::?\d\d)?)?)?$/;

function checkStarted(started: unknown, path: Path, list: ProblemList): void {
  if (typeof started !== 'string' || (isoTime.test(started) && !Number.isNaN(Date.parse(started.slice(0, 10))))) return;
  list.atValue(path, {
    severity: 'warning',
    code: 'date-unreadable',
    message: `'${started}' is no ISO 8601 time; write for example '2026-03-02T18:04:00Z'`,
  });
}

function rolesOf(raw: RawStrainLog, { columns, columnsPath, path, list }: ResolveInput): LogHeader['roles'] {
  const names = columns.map((column) => column.name);
  const find = (role: 'time' | 'layer' | 'phase'): number => {
    const named = raw.columns?.[role];
    const index = names.indexOf(named ?? role);
    if (index < 0 && typeof named === 'string') {
      const near = nearest(named, names);
      list.atValue([...path, 'columns', role], {
        code: 'column-unknown',
        message: `the table has no column '${named}'; ${didYouMean(near, `its columns are ${listed(names)}`)}`,
        ...changeTo(near),
      });
    }
    return index;
  };
  const roles = { time: find('time'), layer: find('layer'), phase: find('phase') };
  const time = columns[roles.time];
  if (!time && raw.columns?.time === undefined) {
    list.atKey(columnsPath, {
      code: 'time-missing',
      message:
        'the table has no column named time; add one in seconds, or say which column it is with columns: {time: name}',
    });
  } else if (time && time.unit !== '' && time.datatype !== 'string') {
    const result = unitScale(time.unit, 'time');
    if (!result.ok)
      list.atValue(
        [...columnsPath, roles.time, 'unit'],
        unitFinding(time.unit, result, 'time', (unit) => unit),
      );
  }
  return roles;
}

function datumOf(raw: RawStrainLog['datum'], path: Path, list: ProblemList): LogHeader['datum'] {
  if (raw === undefined || list.spoilt(path)) return undefined;
  const [fromS, toS] = [siOf(raw.from, 'time', NaN), siOf(raw.to, 'time', NaN)];
  if (fromS >= toS) {
    list.atValue(path, {
      code: 'datum-empty',
      message: `the datum ends (${raw.to}) no later than it starts (${raw.from}); make 'to' later than 'from'`,
    });
    return undefined;
  }
  return { fromS, toS };
}

function reachOf(cells: LogHeader['cells'], parts: LogHeader['parts']): readonly [number, number] {
  const points = [...cells.map((cell) => [cell.xM, cell.yM] as const), ...parts.flatMap((part) => part.outlineM)];
  return [0, 1].map((axis) => Math.max(1e-3, ...points.map((at) => at[axis as 0 | 1]))) as [number, number];
}

function derivedOf(raw: RawStrainLog, { columns, path, list }: ResolveInput): LogHeader['derived'] {
  return Object.entries(records(raw.derived) ?? {}).flatMap(([name, expression]) => {
    const at = [...path, 'derived', name];
    if (columns.some((column) => column.name === name)) {
      list.atKey(at, {
        code: 'derived-name-taken',
        message: `a column is named '${name}' already, so this series is left out; choose another name`,
      });
    }
    return list.spoilt(at) ? [] : [{ name, expression }];
  });
}
