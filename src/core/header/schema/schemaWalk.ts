// Finding one's way in the schema: the field a path leads to, its notes, and the keys or values it allows.
import { getMetadata } from 'valibot';
import type { AnySchema, FieldNotes } from './field.ts';
import { dimensions } from '../units/quantity.ts';
import type { Dimension } from '../units/quantity.ts';
import type { Path } from '../yaml/yamlPlaces.ts';

/** The parts of valibot's schemas that tell their shape. */
interface Shape {
  readonly type: string;
  readonly wrapped?: AnySchema;
  readonly entries?: Readonly<Record<string, AnySchema>>;
  readonly value?: AnySchema;
  readonly item?: AnySchema;
  readonly items?: readonly AnySchema[];
  readonly options?: readonly string[];
}

/** The schema itself, without the mark that its key may be left out. */
export function bare(schema: AnySchema): AnySchema & Shape {
  const shape = schema as AnySchema & Shape;
  return shape.wrapped ? bare(shape.wrapped) : shape;
}

export function isOptional(schema: AnySchema): boolean {
  return (schema as AnySchema & Shape).wrapped !== undefined;
}

export function notesOf(schema: AnySchema): FieldNotes {
  return getMetadata(bare(schema)) as unknown as FieldNotes;
}

/** The field that `key` leads to; undefined where the schema has none. */
function childOf(schema: AnySchema, key: string | number): AnySchema | undefined {
  const shape = bare(schema);
  if (shape.entries) return Object.hasOwn(shape.entries, key) ? shape.entries[String(key)] : undefined;
  if (shape.type === 'record') return shape.value;
  if (shape.items) return shape.items[Number(key)];
  return shape.item;
}

export function schemaAt(schema: AnySchema, path: Path): AnySchema | undefined {
  return path.reduce<AnySchema | undefined>((at, key) => at && childOf(at, key), schema);
}

/** Keys of an object schema with their fields; undefined for anything else. */
export function entriesOf(schema: AnySchema): Readonly<Record<string, AnySchema>> | undefined {
  return bare(schema).entries;
}

/** Values a field may take, where it is a choice. */
export function choicesOf(schema: AnySchema): readonly string[] | undefined {
  const shape = bare(schema);
  if (shape.type === 'boolean') return ['true', 'false'];
  return shape.type === 'picklist' ? shape.options : undefined;
}

/** The value at a path of plain objects and lists. */
export function valueAt(value: unknown, path: Path): unknown {
  return path.reduce<unknown>(
    (at, key) =>
      typeof at === 'object' && at !== null && Object.hasOwn(at, key)
        ? (at as Record<string | number, unknown>)[key]
        : undefined,
    value,
  );
}

/** The kind of the channel whose key is at the path; under channel_defaults the kind is the block's name. */
export function kindAt(root: unknown, path: Path): string | undefined {
  const kind = path.at(-3) === 'channel_defaults' ? path.at(-2) : valueAt(root, [...path.slice(0, -1), 'kind']);
  return typeof kind === 'string' ? kind : undefined;
}

/** What a quantity at the path must be, and its usual unit; `root` is the whole value, which may tell the kind. */
export function dimensionAt(
  notes: FieldNotes | undefined,
  root: unknown,
  path: Path,
): { readonly dimension: Dimension; readonly unit: string } | undefined {
  if (!notes) return undefined;
  if (!notes.byKind)
    return notes.dimension && { dimension: notes.dimension, unit: notes.unit ?? dimensions[notes.dimension].customary };
  const kind = kindAt(root, path);
  return kind !== undefined && Object.hasOwn(notes.byKind, kind) ? notes.byKind[kind] : undefined;
}

/** Calls `visit` for every value that the schema knows, parents first. */
export function walk(
  schema: AnySchema,
  value: unknown,
  visit: (path: Path, schema: AnySchema, value: unknown) => void,
  path: Path = [],
): void {
  visit(path, schema, value);
  if (typeof value !== 'object' || value === null) return;
  const keys = Array.isArray(value) ? value.keys() : Object.keys(value);
  for (const key of keys) {
    const child = childOf(schema, key);
    if (child) walk(child, (value as Record<string | number, unknown>)[key], visit, [...path, key]);
  }
}
