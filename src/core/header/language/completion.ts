// What can be written at a place of the header: keys, choices, names of cells, planes and columns, units, and examples.
// All of it comes from the schema and from the header itself.
import type { AnySchema, FieldNotes } from '../schema/field.ts';
import type { HeaderSource } from '../parseHeader.ts';
import type { TextRange } from '../../problem.ts';
import { unitSpellings } from '../units/quantity.ts';
import type { Dimension } from '../units/quantity.ts';
import { choicesOf, dimensionAt, entriesOf, isOptional, notesOf, schemaAt, valueAt } from '../schema/schemaWalk.ts';
import { lineText, offsetAt, rangeBetween } from '../yaml/sourceText.ts';
import { yamlText } from '../schema/wording.ts';
import { yamlContext } from '../yaml/yamlContext.ts';
import type { YamlContext } from '../yaml/yamlContext.ts';

export interface HeaderCompletion {
  readonly label: string;
  readonly kind: 'key' | 'value' | 'name' | 'unit';
  /** Replaces `range`. */
  readonly newText: string;
  readonly range: TextRange;
  /** A few words beside the label. */
  readonly detail: string;
  readonly documentation: string;
}

/** Line and column count from 1. Empty outside the header's YAML. */
export function completionsAt(header: HeaderSource, line: number, column: number): HeaderCompletion[] {
  const { source, places, schema } = header;
  const inRows = header.blockPath.length > 0 && !lineText(source, line).startsWith('#');
  if (inRows) return [];
  const context = yamlContext(source, places, offsetAt(source, line, column));
  if (!context) return [];
  const field = schemaAt(schema, context.path);
  if (!field) return [];
  const range = rangeBetween(source, ...context.span);
  const items = context.part === 'key' ? keys(header, field, context) : values(header, field, context);
  return items.map((item) => ({ ...item, range }));
}

type Item = Omit<HeaderCompletion, 'range'>;

function keys(header: HeaderSource, field: AnySchema, { otherKeys, hasColon }: YamlContext): Item[] {
  const colon = hasColon ? '' : ': ';
  const entries = entriesOf(field);
  if (!entries) {
    const names = notesOf(field)?.refersTo === 'column' ? header.columnNames : [];
    return names
      .filter((name) => !otherKeys.includes(name))
      .map((name) => ({
        label: name,
        kind: 'name',
        newText: yamlText(name) + colon,
        detail: 'column',
        documentation: '',
      }));
  }
  return Object.entries(entries)
    .filter(([key]) => !otherKeys.includes(key))
    .map(([key, child]) => {
      const notes = notesOf(child);
      const detail = isOptional(child) ? `default: ${notes.default ?? 'none'}` : 'required';
      return { label: key, kind: 'key', newText: key + colon, detail, documentation: documentationOf(notes) };
    });
}

function values(header: HeaderSource, field: AnySchema, context: YamlContext): Item[] {
  const notes = notesOf(field);
  const documentation = documentationOf(notes);
  const asItems = (texts: readonly string[], kind: Item['kind'], detail: string): Item[] =>
    texts.map((text) => ({
      label: text,
      kind,
      newText: kind === 'name' ? yamlText(text) : text,
      detail,
      documentation,
    }));
  const dimension = dimensionAt(notes, header.places.value, context.path)?.dimension;
  if (dimension) return quantities(header, notes, dimension, context).map((item) => ({ ...item, documentation }));
  if (notes?.refersTo) return asItems(namesOf(header, notes.refersTo), 'name', notes.refersTo);
  const choices = choicesOf(field) ?? notes?.suggestions ?? [];
  if (choices.length > 0) return asItems(choices, 'value', '');
  return notes?.example === undefined ? [] : asItems([notes.example], 'value', 'example');
}

/** With a number typed: that number with each unit. Without: the example and the default, where it is a quantity. */
function quantities(
  header: HeaderSource,
  notes: FieldNotes | undefined,
  dimension: Dimension,
  { span }: YamlContext,
): Omit<Item, 'documentation'>[] {
  const typed = /^['"]?\s*([+-]?[\d.]+(?:[eE][+-]?\d+)?)/.exec(header.source.text.slice(...span))?.[1];
  if (typed === undefined) {
    const example = notes?.example;
    return example === undefined ? [] : [{ label: example, kind: 'value', newText: example, detail: 'example' }];
  }
  return unitSpellings(dimension).map((unit) => {
    const text = `${typed} ${unit}`;
    return { label: text, kind: 'unit', newText: text, detail: dimension };
  });
}

function namesOf({ places, blockPath, columnNames }: HeaderSource, reference: 'cell' | 'plane' | 'column'): string[] {
  if (reference === 'column') return [...columnNames];
  const names = valueAt(places.value, [...blockPath, `${reference}s`]);
  return typeof names === 'object' && names !== null ? Object.keys(names) : [];
}

function documentationOf(notes: FieldNotes | undefined): string {
  if (!notes) return '';
  return notes.example === undefined ? notes.meaning : `${notes.meaning} Example: ${notes.example}`;
}
