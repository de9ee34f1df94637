// Where in a YAML header a cursor stands: in a key of which map, or in which value. Tolerates half-typed text: a key
// without a value, an empty place after a comma, a blank line whose indentation tells the block.
import { isMap, isScalar, isSeq } from 'yaml';
import type { Node, Pair } from 'yaml';
import { positionAt } from './sourceText.ts';
import type { SourceText } from './sourceText.ts';
import { keyOf, pairsOf, spanOf } from './yamlPlaces.ts';
import type { Path, YamlPlaces } from './yamlPlaces.ts';

export interface YamlContext {
  /** For a key: path of the map it stands in. For a value: path of the value. */
  readonly path: Path;
  readonly part: 'key' | 'value';
  /** Offsets of the word under the cursor; empty at the cursor where there is none. */
  readonly span: readonly [number, number];
  /** Keys that the map has, the one under the cursor left out. */
  readonly otherKeys: readonly string[];
  /** The key under the cursor has its colon already. */
  readonly hasColon: boolean;
}

export function yamlContext(source: SourceText, places: YamlPlaces, offset: number): YamlContext | undefined {
  const top = places.document.contents as Node | null;
  return top ? contextIn({ source, offset, column: cursorColumn(source, offset) }, top, []) : undefined;
}

interface Cursor {
  readonly source: SourceText;
  readonly offset: number;
  /** Column of the first character of the cursor's line, or of the cursor on a blank line; without `#`. */
  readonly column: number;
}

function cursorColumn(source: SourceText, offset: number): number {
  const { column } = positionAt(source, offset);
  const before = source.text.slice(offset - column + 1, offset);
  const blank = /^#?\s*(?:-\s+)?/.exec(before)?.[0].length ?? 0;
  return blank + 1;
}

function contextIn(cursor: Cursor, node: Node, path: Path): YamlContext | undefined {
  if (isMap(node)) return node.flow ? inFlowMap(cursor, node, path) : inBlockMap(cursor, node, path);
  if (isSeq(node)) return inSequence(cursor, node.items as Node[], path);
  return valueContext(cursor, node, path);
}

function valueContext(cursor: Cursor, node: Node | null, path: Path): YamlContext {
  const span = spanOf(node);
  const inside = span && cursor.offset >= span[0] && cursor.offset <= span[1] && isScalar(node) && node.value !== null;
  return { path, part: 'value', span: inside ? span : [cursor.offset, cursor.offset], otherKeys: [], hasColon: true };
}

function keyContext(cursor: Cursor, node: Node, path: Path, pair?: Pair): YamlContext {
  const keySpan = pair && wordOnLine(cursor, spanOf(pair.key as Node)!);
  const otherKeys = pairsOf(node)
    .filter((other) => other !== pair)
    .map(keyOf);
  const hasColon = keySpan !== undefined && /^\s*:/.test(cursor.source.text.slice(keySpan[1], keySpan[1] + 8));
  return { path, part: 'key', span: keySpan ?? [cursor.offset, cursor.offset], otherKeys, hasColon };
}

/** A half-typed key without a colon swallows the next line in YAML; only the cursor's own line is meant. */
function wordOnLine(
  { source: { text }, offset }: Cursor,
  [from, to]: readonly [number, number],
): readonly [number, number] {
  const lineEnd = text.indexOf('\n', offset);
  return [from, lineEnd < 0 ? to : Math.min(to, lineEnd)];
}

/** The last pair that starts at or before the cursor. */
function pairBefore(pairs: readonly Pair[], offset: number): Pair | undefined {
  return pairs.findLast((pair) => (spanOf(pair.key as Node)?.[0] ?? Infinity) <= offset);
}

function inFlowMap(cursor: Cursor, node: Node, path: Path): YamlContext | undefined {
  const pair = pairBefore(pairsOf(node), cursor.offset);
  if (!pair) return keyContext(cursor, node, path);
  const [, keyEnd] = spanOf(pair.key as Node)!;
  if (cursor.offset <= keyEnd) return keyContext(cursor, node, path, pair);
  const value = pair.value as Node | null;
  const valueEnd = Math.max(spanOf(value)?.[1] ?? 0, keyEnd);
  const between = cursor.source.text.slice(Math.min(valueEnd, cursor.offset), cursor.offset);
  if (between.includes(',')) return keyContext(cursor, node, path);
  return value ? contextIn(cursor, value, [...path, keyOf(pair)]) : valueContext(cursor, null, [...path, keyOf(pair)]);
}

function inBlockMap(cursor: Cursor, node: Node, path: Path): YamlContext | undefined {
  const pair = pairBefore(pairsOf(node), cursor.offset);
  if (!pair) return keyContext(cursor, node, path);
  const [keyStart, keyEnd] = spanOf(pair.key as Node)!;
  if (cursor.offset <= keyEnd) return keyContext(cursor, node, path, pair);
  const keyPlace = positionAt(cursor.source, keyStart);
  const sameLine = keyPlace.line === positionAt(cursor.source, cursor.offset).line;
  const value = pair.value as Node | null;
  const inValue = spanOf(value) !== undefined && cursor.offset <= spanOf(value)![1];
  if (!sameLine && !inValue && cursor.column <= keyPlace.column) return keyContext(cursor, node, path);
  const at = [...path, keyOf(pair)];
  const empty = !value || (isScalar(value) && value.value === null);
  if (!empty) return contextIn(cursor, value, at);
  return sameLine ? valueContext(cursor, value, at) : keyContext(cursor, node, at);
}

function inSequence(cursor: Cursor, items: readonly Node[], path: Path): YamlContext | undefined {
  const index = items.findLastIndex((item) => (spanOf(item)?.[0] ?? Infinity) <= cursor.offset);
  const item = items[index];
  const end = spanOf(item)?.[1] ?? 0;
  const between = cursor.source.text.slice(Math.min(end, cursor.offset), cursor.offset);
  if (!item || /[,\n]/.test(between)) return valueContext(cursor, null, [...path, index + 1]);
  return contextIn(cursor, item, [...path, index]);
}
