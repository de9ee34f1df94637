// A YAML text with the place of everything in it: plain values by path, and ranges of keys and values by path.
import { isAlias, isMap, isPair, isScalar, isSeq, parseDocument, Scalar, visit } from 'yaml';
import type { Document, Node, Pair, YAMLMap } from 'yaml';
import type { TextRange } from '../../problem.ts';
import { rangeBetween } from './sourceText.ts';
import type { SourceText } from './sourceText.ts';

/** Keys and indices from the top of the YAML text. */
export type Path = readonly (string | number)[];

export interface YamlPlaces {
  readonly document: Document.Parsed;
  /** Keys that stand in their map a second time, in the order of the text. */
  readonly repeatedKeys: readonly Node[];
  /** Plain objects; undefined where the text cannot be read at all. */
  readonly value: unknown;
  nodeAt(path: Path): Node | undefined;
  /** Offsets of the value, or of the key where the value is empty; undefined where the path is not in the text. */
  valueSpan(path: Path): readonly [number, number] | undefined;
  keySpan(path: Path): readonly [number, number] | undefined;
  /** Range of the value (or key), for problems; the nearest ancestor's where the path is not in the text. */
  valueRange(path: Path): TextRange;
  keyRange(path: Path): TextRange;
}

export function yamlPlaces(source: SourceText, yaml: string): YamlPlaces {
  // Told by problems; else the library would tell the process, too.
  const quiet = { logLevel: 'error', prettyErrors: false } as const;
  // The library holds every key against all others of its map, which takes minutes where there are thousands.
  const document = parseDocument(yaml, {
    customTags: ['omap'],
    merge: true,
    strict: true,
    uniqueKeys: false,
    ...quiet,
  });
  const top = document.contents as Node | null;
  const pairsByKey = keyedPairs();
  const nodeAt = (path: Path): Node | undefined => descend(document, top, path, pairsByKey);
  const pairAt = (path: Path): Pair | undefined => pairsByKey(nodeAt(path.slice(0, -1)))?.get(String(path.at(-1)));
  const keySpan = (path: Path): readonly [number, number] | undefined =>
    path.length === 0 ? undefined : spanOf(pairAt(path)?.key as Node | undefined);
  const valueSpan = (path: Path): readonly [number, number] | undefined => {
    const node = nodeAt(path);
    const span = spanOf(node);
    if (!span || (isScalar(node) && node.value === null && span[0] === span[1])) return keySpan(path) ?? span;
    return trimmed(yaml, span);
  };
  const rangeOf = (path: Path, span: (path: Path) => readonly [number, number] | undefined): TextRange => {
    let place = span(path);
    for (let up = path; !place && up.length > 0; up = up.slice(0, -1)) place = keySpan(up) ?? valueSpan(up);
    return rangeBetween(source, ...(place ?? ([0, 0] as const)));
  };
  return {
    document,
    repeatedKeys: repeatedKeys(document),
    value: plainValue(document),
    nodeAt,
    valueSpan,
    keySpan,
    valueRange: (path) => rangeOf(path, valueSpan),
    keyRange: (path) => rangeOf(path, (at) => keySpan(at) ?? valueSpan(at)),
  };
}

function plainValue(document: Document.Parsed): unknown {
  try {
    return withoutMaps(document.toJS({ maxAliasCount: 100 }));
  } catch {
    return undefined;
  }
}

/** Ordered maps (`!!omap`, as some writers put `meta`) become plain objects like all others. */
function withoutMaps(value: unknown): unknown {
  if (value instanceof Map)
    return Object.fromEntries([...value].map(([key, item]) => [String(key), withoutMaps(item)]));
  if (Array.isArray(value)) return value.map(withoutMaps);
  if (typeof value === 'object' && value !== null) {
    return Object.fromEntries(Object.entries(value).map(([key, item]) => [key, withoutMaps(item)]));
  }
  return value;
}

type PairsByKey = (node: Node | undefined) => ReadonlyMap<string, Pair> | undefined;

/** The pairs of each map by their key, the first of equal ones; undefined where there are none. Looked through once. */
function keyedPairs(): PairsByKey {
  const known = new WeakMap<Node, ReadonlyMap<string, Pair> | undefined>();
  return (node) => {
    if (!node) return undefined;
    if (known.has(node)) return known.get(node);
    const pairs = pairsOf(node);
    // Of equal keys the last set stays, so the first goes last.
    const keyed = pairs.length > 0 ? new Map(pairs.map((pair) => [keyOf(pair), pair] as const).reverse()) : undefined;
    known.set(node, keyed);
    return keyed;
  };
}

function repeatedKeys(document: Document.Parsed): Node[] {
  const repeated: Node[] = [];
  visit(document, {
    Map: (_, { items }) => {
      const seen = new Set<unknown>();
      for (const { key } of items) {
        // A merge may stand several times; keys that are no scalars are told by the schema.
        if (!isScalar(key) || key.value === '<<') continue;
        if (seen.has(key.value)) repeated.push(key as Node);
        seen.add(key.value);
      }
    },
  });
  return repeated;
}

function descend(document: Document.Parsed, top: Node | null, path: Path, pairsByKey: PairsByKey): Node | undefined {
  let node: Node | undefined = top ?? undefined;
  for (const step of path) {
    if (isAlias(node)) node = node.resolve(document);
    const pairs = pairsByKey(node);
    if (pairs) node = pairs.get(String(step))?.value as Node | undefined;
    else if (isSeq(node)) node = node.items[Number(step)] as Node | undefined;
    else return undefined;
    if (!node) return undefined;
  }
  return node;
}

/** The pairs of a map, or of an ordered map. */
export function pairsOf(node: unknown): Pair[] {
  if (isMap(node)) return (node as YAMLMap).items;
  if (isSeq(node) && node.items.length > 0 && node.items.every(isPair)) return node.items as Pair[];
  return [];
}

export function keyOf(pair: Pair): string {
  return String(pair.key instanceof Scalar ? pair.key.value : pair.key);
}

export function spanOf(node: Node | undefined | null): readonly [number, number] | undefined {
  return node?.range ? [node.range[0], node.range[1]] : undefined;
}

/** A span without blanks at its end: block collections reach to the next line. */
function trimmed(yaml: string, [from, to]: readonly [number, number]): readonly [number, number] {
  let end = to;
  while (end > from && /\s/.test(yaml[end - 1]!)) end--;
  return [from, end];
}
