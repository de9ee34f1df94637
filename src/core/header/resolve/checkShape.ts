// Checks the header's plain values against the schema: missing, unknown and misspelt keys, wrong types, and quantities
// with their units, dimensions and limits. What needs several fields at once is checked elsewhere.
import { safeParse } from 'valibot';
import type { BaseIssue } from 'valibot';
import type { AnySchema, FieldNotes } from '../schema/field.ts';
import { nearest } from '../nearest.ts';
import type { Finding, ProblemList } from '../problemList.ts';
import { unitMissing, valueFinding } from './quantityFindings.ts';
import { channelKinds } from '../schema/schemaChannels.ts';
import {
  bare,
  choicesOf,
  dimensionAt,
  entriesOf,
  isOptional,
  kindAt,
  notesOf,
  schemaAt,
  valueAt,
  walk,
} from '../schema/schemaWalk.ts';
import type { Path } from '../yaml/yamlPlaces.ts';
import { changeTo, listed } from '../schema/wording.ts';

/** Reports what is wrong, and gives the value back without what has the wrong shape, so that the rest can be read. */
export function checkShape(schema: AnySchema, value: unknown, list: ProblemList): unknown {
  const issues = safeParse(schema, value).issues ?? [];
  const faulty = new Set(issues.map((issue) => JSON.stringify(pathOf(issue))));
  for (const issue of issues) shapeProblem(schema, value, issue, list);
  walk(schema, value, (path, field, item) => {
    if (Array.isArray(item) && hasKeys(field)) {
      listForKeys(path, field, list);
      faulty.add(JSON.stringify(path));
      return;
    }
    unknownKeys(path, field, item, list);
    unusedKey(path, field, value, list);
    if (reservedNames.has(path.at(-1)!)) reservedName(path, list);
    const finding = valueFinding(withDimension(notesOf(field), value, path), item);
    if (finding) list.atValue(path, finding);
  });
  return faulty.size === 0 ? value : without(value, faulty, []);
}

function hasKeys(field: AnySchema): boolean {
  return entriesOf(field) !== undefined || bare(field).type === 'record';
}

/** The schema library lets a list pass for a set of keys. */
function listForKeys(path: Path, field: AnySchema, list: ProblemList): void {
  const name = String(path.at(-1) ?? 'header');
  const wanted = wording[bare(field).type]!;
  list.atValue(path, {
    code: 'value-type',
    message: `'${name}' must be ${wanted}; ${exampleOf(name, notesOf(field))}`,
  });
}

function pathOf(issue: BaseIssue<unknown>): Path {
  return (issue.path ?? []).map((item) => item.key as string | number);
}

function without(value: unknown, faulty: ReadonlySet<string>, path: Path): unknown {
  if (faulty.has(JSON.stringify(path))) return undefined;
  if (Array.isArray(value)) return value.map((item, index) => without(item, faulty, [...path, index]));
  if (!isRecord(value)) return value;
  const kept = Object.entries(value).map(([key, item]) => [key, without(item, faulty, [...path, key])] as const);
  return Object.fromEntries(kept.filter(([, item]) => item !== undefined));
}

/** Names that mean something else to JavaScript, and that the schema library therefore passes over. */
const reservedNames: ReadonlySet<string | number> = new Set(['__proto__', 'prototype', 'constructor']);

function reservedName(path: Path, list: ProblemList): void {
  list.atKey(path, {
    code: 'name-reserved',
    message: `'${String(path.at(-1))}' cannot be used as a name; choose another`,
  });
}

function shapeProblem(schema: AnySchema, value: unknown, issue: BaseIssue<unknown>, list: ProblemList): void {
  const path = pathOf(issue);
  const field = schemaAt(schema, path);
  const notes = field ? withDimension(notesOf(field), value, path) : undefined;
  const name = String(path.at(-1) ?? 'header');
  const above = path.slice(0, -1);
  const parent = schemaAt(schema, above);
  const beside = valueAt(value, above);
  if (Array.isArray(beside) && parent && hasKeys(parent)) return; // told as a list where keys are needed
  if (issue.type === 'strict_tuple' || (Array.isArray(beside) && issue.input === undefined)) {
    const ofElement = issue.input === undefined || issue.expected === 'never';
    pairProblem(ofElement ? above : path, list);
  } else if (issue.input === undefined) {
    const known = Object.keys((parent && entriesOf(parent)) ?? {});
    if (isRecord(beside) && Object.keys(beside).some((key) => meantBy(key, known, beside) === name)) return;
    list.atKey(path, { code: 'key-missing', message: `'${name}' is missing here; ${exampleOf(name, notes)}` });
  } else if (issue.type === 'picklist') {
    list.atValue(path, choiceFinding(told(path), issue.input, (field && choicesOf(field)) ?? []));
  } else if (issue.type === 'string' && typeof issue.input === 'number') {
    list.atValue(path, bareNumber(name, issue.input, notes));
  } else if (issue.type === 'min_length') {
    list.atValue(path, {
      code: 'outline-too-short',
      message: `'${name}' needs at least three corners; ${exampleOf(name, notes)}`,
    });
  } else {
    const wanted = wording[issue.type] ?? issue.expected ?? 'something else';
    list.atValue(path, { code: 'value-type', message: `'${name}' must be ${wanted}; ${exampleOf(name, notes)}` });
  }
}

/** An item of a list goes by the list's name. */
function told(path: Path): string {
  const names = path.filter((key) => typeof key === 'string');
  const name = `'${names.at(-1) ?? 'header'}'`;
  return typeof path.at(-1) === 'number' ? `an entry of ${name}` : name;
}

function pairProblem(path: Path, list: ProblemList): void {
  const last = path.at(-1);
  const name = typeof last === 'number' ? `corner ${last + 1}` : `'${String(last)}'`;
  list.atValue(path, { code: 'value-type', message: `${name} must be a pair [x, y], for example [75 mm, 75 mm]` });
}

/** The notes with dimension and unit settled, where the channel's kind decides them. */
function withDimension(notes: FieldNotes, root: unknown, path: Path): FieldNotes {
  return { ...notes, ...dimensionAt(notes, root, path) };
}

const wording: Readonly<Record<string, string>> = {
  object: 'a set of keys with values',
  record: 'a set of names with values',
  array: 'a list',
  tuple: 'a pair [x, y]',
  string: 'text',
  number: 'a number',
  integer: 'a whole number',
  boolean: 'true or false',
};

function exampleOf(name: string, notes: FieldNotes | undefined): string {
  if (!notes) return `give '${name}'`;
  return notes.example === undefined ? notes.meaning : `for example ${name}: ${notes.example}`;
}

function choiceFinding(name: string, input: unknown, choices: readonly string[]): Finding {
  const near = typeof input === 'string' ? nearest(input, choices) : undefined;
  return {
    code: 'value-unknown',
    message: `${name} cannot be '${String(input)}'; choose ${listed(choices)}`,
    ...changeTo(near),
  };
}

/** A bare number where text is needed: either a quantity without its unit, or a name that reads as a number. */
function bareNumber(name: string, input: number, notes: FieldNotes | undefined): Finding {
  if (!notes?.dimension) {
    return {
      code: 'value-type',
      message: `'${name}' must be text; put ${input} in quotes`,
      fix: { title: 'Put it in quotes', newText: `'${input}'` },
    };
  }
  if (!Number.isFinite(input)) {
    return {
      code: 'quantity-syntax',
      message: `a number that is none cannot be read here; write a quantity with its unit${notes.example ? `, for example ${notes.example}` : ''} (${notes.meaning})`,
    };
  }
  return unitMissing(String(input), notes);
}

export function isRecord(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

/** The known key that an unknown one is a misspelling of, among those that are not there. */
function meantBy(key: string, known: readonly string[], beside: object): string | undefined {
  if (known.includes(key)) return undefined;
  return nearest(
    key,
    known.filter((name) => !Object.hasOwn(beside, name)),
  );
}

function unknownKeys(path: Path, field: AnySchema, value: unknown, list: ProblemList): void {
  const entries = entriesOf(field);
  if (!entries || !isRecord(value)) return;
  const known = Object.keys(entries);
  for (const key of Object.keys(value)) {
    if (known.includes(key)) continue;
    const near = meantBy(key, known, value);
    list.atKey([...path, key], {
      severity: near === undefined ? 'information' : isOptional(entries[near]!) ? 'warning' : 'error',
      code: 'key-unknown',
      message: near
        ? `'${key}' is not a key here and is not read; did you mean '${near}'?`
        : `'${key}' is not a key here and is not read; known keys: ${listed(known)}`,
      ...changeTo(near),
    });
  }
}

/** A key that the channel's kind does not read. */
function unusedKey(path: Path, field: AnySchema, root: unknown, list: ProblemList): void {
  const ofKinds = notesOf(field)?.ofKinds;
  const kind = ofKinds && kindAt(root, path);
  if (!kind || ofKinds.includes(kind) || !channelKinds.some((known) => known === kind)) return;
  list.atKey(path, {
    severity: 'warning',
    code: 'key-unused',
    message: `'${String(path.at(-1))}' is not used for ${kind}, only for ${ofKinds.join(' and ')}; remove it`,
  });
}
