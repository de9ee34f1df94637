// The JSON contract of a checked log, `underplate-check/1`: what scripts, agents and other programs read.
// Keys may be added, never changed or taken away. Strain in microstrain, angles in degrees, lengths in millimetres,
// times in seconds from the log's first row, lines and columns from 1. A value that is not known is null.
import type { CellChange, StrainEvent } from '../change/events.ts';
import { microstrain, millimetres } from '../display/units.ts';
import type { LogHeader } from '../header/logHeader.ts';
import type { Judgement } from '../notes/judge.ts';
import type { Problem } from '../problem.ts';
import type { DatumReport } from '../strain/datumReport.ts';

export const checkContractName = 'underplate-check/1';

export interface ContractProblem {
  /** Name of the file beside the log that the place is in; null where it is the log itself. */
  readonly file: string | null;
  readonly line: number;
  readonly column: number;
  readonly end_line: number;
  readonly end_column: number;
  readonly severity: string;
  readonly code: string;
  readonly message: string;
  /** How many more of the same code were folded into this one. */
  readonly folded: number;
}

export interface ContractCell {
  readonly cell: string;
  /** '' where the log names no planes. */
  readonly plane: string;
  /** ex, ey, gxy, after minus before. */
  readonly change_microstrain: readonly [number | null, number | null, number | null];
  readonly turn_deg: number | null;
  readonly turn_error_deg: number | null;
  readonly sigmas: number | null;
}

export interface ContractEvent {
  readonly id: string;
  readonly nature: string;
  readonly kind: string;
  readonly severity: string;
  readonly sure: boolean;
  readonly line: number;
  readonly time_s: number | null;
  readonly end_time_s: number | null;
  readonly detected_time_s: number | null;
  readonly layer: number | null;
  readonly cells: readonly ContractCell[];
  readonly channels: readonly string[];
  readonly origin_mm: readonly [number, number] | null;
  readonly origin_spread_mm: number | null;
  /** '' where the origin lies under no part. */
  readonly part: string;
  readonly evidence: readonly { name: string; value: number | null; unit: string; text: string }[];
  readonly folded: number;
  readonly message: string;
}

/** From the notes beside the log. */
export interface ContractJudgement {
  /** Null where nobody judged. */
  readonly verdict: string | null;
  readonly cause: string;
}

/** How far a log goes. */
export interface ContractExtent {
  readonly rows: number;
  readonly duration_s: number | null;
  readonly last_layer: number | null;
}

export interface ContractDatum {
  readonly from_s: number | null;
  readonly to_s: number | null;
  readonly rows: number;
  readonly fit: boolean;
  readonly reasons: readonly string[];
}

export function contractProblem(problem: Problem): ContractProblem {
  const { range } = problem;
  return {
    file: problem.file ?? null,
    line: range.line,
    column: range.column,
    end_line: range.endLine,
    end_column: range.endColumn,
    severity: problem.severity,
    code: problem.code,
    message: problem.message,
    folded: problem.folded ?? 0,
  };
}

export function contractEvent(event: StrainEvent, header: LogHeader): ContractEvent {
  return {
    id: event.id,
    nature: event.nature,
    kind: event.kind,
    severity: event.severity,
    sure: event.sure,
    line: event.line,
    time_s: rounded(event.timeS, 6),
    end_time_s: rounded(event.endTimeS, 6),
    detected_time_s: rounded(event.detectedTimeS, 6),
    layer: event.layer < 0 ? null : event.layer,
    cells: event.cells.map((change) => contractCell(change, header)),
    channels: event.channels.map((channel) => header.channels[channel]?.name ?? ''),
    origin_mm: place(event.originM),
    origin_spread_mm: rounded(event.originSpreadM * millimetres.scale, 1),
    part: event.part,
    evidence: event.evidence.map(({ name, value, unit, text }) => ({ name, value: rounded(value, 6), unit, text })),
    folded: event.folded,
    message: event.message,
  };
}

/** What people made of an event, beside what it is. */
export function contractJudgement({ verdict, cause }: Judgement): ContractJudgement {
  return { verdict: verdict === '' ? null : verdict, cause };
}

/** `lastLayer`: -1 where there is none. */
export function contractExtent(log: {
  readonly rows: number;
  readonly startS: number;
  readonly endS: number;
  readonly lastLayer: number;
}): ContractExtent {
  return {
    rows: log.rows,
    duration_s: rounded(log.endS - log.startS, 6),
    last_layer: log.lastLayer >= 0 ? log.lastLayer : null,
  };
}

export function contractDatum(datum: DatumReport): ContractDatum {
  return {
    from_s: rounded(datum.fromS, 6),
    to_s: rounded(datum.toS, 6),
    rows: datum.rows,
    fit: datum.fit,
    reasons: datum.reasons,
  };
}

/** The nearest number with so many decimals; null for what is not a finite number. Never -0. */
export function rounded(value: number, decimals: number): number | null {
  if (!Number.isFinite(value)) return null;
  return Number(value.toFixed(decimals)) + 0;
}

function contractCell(change: CellChange, header: LogHeader): ContractCell {
  const [ex, ey, gxy] = change.change;
  const strain = (value: number): number | null => rounded(value * microstrain.scale, 1);
  return {
    cell: header.cells[change.cell]?.name ?? '',
    plane: header.planes[change.plane]?.name ?? '',
    change_microstrain: [strain(ex), strain(ey), strain(gxy)],
    turn_deg: rounded(change.turnDeg, 1),
    turn_error_deg: rounded(change.turnErrorDeg, 1),
    sigmas: rounded(change.sigmas, 2),
  };
}

function place([xM, yM]: readonly [number, number]): readonly [number, number] | null {
  const x = rounded(xM * millimetres.scale, 1);
  const y = rounded(yM * millimetres.scale, 1);
  return x === null || y === null ? null : [x, y];
}
