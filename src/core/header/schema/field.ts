// The building stones of the header's schema: valibot schemas that carry, as metadata, what a field means, its unit,
// default, limits and an example. Checks, completion and hover all read these; nothing is said twice.
import * as v from 'valibot';
import { dimensions } from '../units/quantity.ts';
import type { Dimension } from '../units/quantity.ts';

/** What a name in the header refers to. */
export type Reference = 'cell' | 'plane' | 'column';

/** Limits in SI units; `code` is the problem's code where the general `out-of-range` is not telling enough. */
export interface Limits {
  readonly above?: number;
  readonly below?: number;
  readonly from?: number;
  /** What its size, whatever the sign, must lie within. */
  readonly size?: readonly [least: number, most: number];
  readonly code?: string;
  /** Why, and what to write instead; ends the problem's message. */
  readonly remedy: string;
}

export interface FieldNotes {
  readonly meaning: string;
  readonly example?: string;
  /** What holds when the field is left out, in words or as it would be written. */
  readonly default?: string;
  readonly dimension?: Dimension;
  /** The one unit customary for this field, offered where a bare number stands. */
  readonly unit?: string;
  readonly limits?: Limits;
  /** From and to, as they would be written; beyond them a warning asks whether unit and sign are meant. */
  readonly usual?: readonly [string, string];
  readonly refersTo?: Reference;
  /** Where the dimension depends on the channel's kind. */
  readonly byKind?: Readonly<Record<string, { readonly dimension: Dimension; readonly unit: string }>>;
  /** Kinds of channel that read this key; all where it does not say. */
  readonly ofKinds?: readonly string[];
  /** Usual values of a field that takes any text. */
  readonly suggestions?: readonly string[];
  readonly [key: string]: unknown;
}

export type AnySchema = v.GenericSchema;

type Notes = Omit<FieldNotes, 'dimension' | 'unit'>;

/** A number with its unit, written as text: `30 mm`. */
export function quantity(dimension: Dimension, notes: Notes & { readonly unit?: string }) {
  return v.pipe(v.string(), v.metadata({ unit: dimensions[dimension].customary, ...notes, dimension }));
}

export function number(notes: Notes) {
  return v.pipe(v.number(), v.metadata(notes));
}

export function whole(notes: Notes) {
  return v.pipe(v.number(), v.integer(), v.metadata(notes));
}

export function text(notes: Notes) {
  return v.pipe(v.string(), v.metadata(notes));
}

export function flag(notes: Notes) {
  return v.pipe(v.boolean(), v.metadata(notes));
}

export function oneOf<const T extends readonly string[]>(values: T, notes: Notes) {
  return v.pipe(v.picklist(values), v.metadata(notes));
}
