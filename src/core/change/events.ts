// What the change step tells the rest: events (one per incident), and their nature, kind and evidence.
// The names here are the JSON contract's names; units are in the field names.
import type { Severity } from '../problem.ts';

export const eventKinds = {
  mechanical: ['release', 'crack', 'strike', 'creep-off'],
  thermal: ['heat'],
  sensor: ['dropout', 'stuck', 'spike', 'jump', 'wander'],
} as const;

export type EventNature = keyof typeof eventKinds;
export type EventKind = (typeof eventKinds)[EventNature][number];

/** One number that speaks for or against the event, in plain words. */
export interface Evidence {
  /** Stable, kebab-case, e.g. `statistic`, `turn`, `isotropy`. */
  readonly name: string;
  readonly value: number;
  readonly unit: string;
  /** The sentence shown to the user, number and unit included. */
  readonly text: string;
}

/** The change at one cell and plane. */
export interface CellChange {
  readonly cell: number;
  /** -1 where the cell has one unnamed plane. */
  readonly plane: number;
  /** ex, ey, gxy after minus before, dimensionless; NaN without a tensor, or where a channel changed and not the metal. */
  readonly change: readonly [number, number, number];
  /** Turn of the principal direction in [-90, 90) degrees; NaN where either direction is undefined. */
  readonly turnDeg: number;
  /** Standard error of the turn, degrees; NaN where undefined. */
  readonly turnErrorDeg: number;
  /** Size of the change over its own noise (Mahalanobis distance). */
  readonly sigmas: number;
}

export interface StrainEvent {
  /** Stable for the same log content: derived from onset time, cell and kind. */
  readonly id: string;
  readonly nature: EventNature;
  readonly kind: EventKind;
  readonly severity: Severity;
  /** False where the evidence does not settle the kind; the message then says so. */
  readonly sure: boolean;
  /** Accepted-row index, line and time of the refined onset. */
  readonly row: number;
  readonly line: number;
  readonly timeS: number;
  /** End of a passing event; NaN where lasting or not yet known. */
  readonly endTimeS: number;
  readonly detectedRow: number;
  readonly detectedTimeS: number;
  /** -1 where the log has no layers. */
  readonly layer: number;
  /** Strongest first. */
  readonly cells: readonly CellChange[];
  /** Channel indices, for sensor events; else empty. */
  readonly channels: readonly number[];
  /** The channel that could have made the change alone; -1 where another cell was sure too, or there is none. */
  readonly loneChannel: number;
  /** Origin on the plate, metres; NaN where not fitted, or known no better than that it is on the plate. */
  readonly originM: readonly [number, number];
  readonly originSpreadM: number;
  /** Name of the part whose outline holds the origin, '' where none. */
  readonly part: string;
  readonly evidence: readonly Evidence[];
  /** One sentence a person can act on. */
  readonly message: string;
  /** How many further events of the same kind and cell were folded into this one by the flood cap. */
  readonly folded: number;
}
