// The blocks of a header for outline and folding: columns, plate, cells, channels and the rest, with their places.
import type { TextRange } from '../../problem.ts';
import type { HeaderSource } from '../parseHeader.ts';
import { bare, schemaAt } from '../schema/schemaWalk.ts';
import { rangeBetween } from '../yaml/sourceText.ts';
import { keyOf, pairsOf } from '../yaml/yamlPlaces.ts';
import type { Path } from '../yaml/yamlPlaces.ts';

export interface OutlineItem {
  readonly name: string;
  readonly detail: string;
  /** The whole block, key included. */
  readonly range: TextRange;
  /** The key. */
  readonly nameRange: TextRange;
  readonly children: readonly OutlineItem[];
}

/** Blocks in file order; the items of cells, channels, planes, parts and derived series are their children. */
export function headerOutline(header: HeaderSource): OutlineItem[] {
  const { blockPath, places } = header;
  const outer =
    blockPath.length === 0
      ? []
      : ['datatype', 'columns'].filter((key) => places.nodeAt([key])).map((key) => itemAt(header, [key]));
  const blocks = pairsOf(places.nodeAt(blockPath)).map((pair) => itemAt(header, [...blockPath, keyOf(pair)]));
  return [...outer, ...blocks].filter((item) => item !== undefined);
}

function itemAt(header: HeaderSource, path: Path): OutlineItem | undefined {
  const { source, places, schema } = header;
  const key = places.keySpan(path);
  const value = places.valueSpan(path) ?? key;
  if (!key || !value) return undefined;
  const field = schemaAt(schema, path);
  const ofItems = field !== undefined && bare(field).type === 'record';
  const children = ofItems ? pairsOf(places.nodeAt(path)).map((pair) => itemAt(header, [...path, keyOf(pair)])) : [];
  const items = children.filter((item) => item !== undefined);
  return {
    name: String(path.at(-1)),
    detail: ofItems ? String(items.length) : detailOf(source.text.slice(...value)),
    range: rangeBetween(source, key[0], Math.max(key[1], value[1])),
    nameRange: rangeBetween(source, ...key),
    children: items,
  };
}

/** The value on one short line. */
function detailOf(text: string): string {
  const line = text.replace(/\s*\n#?\s*/g, ' ');
  return line.length > 60 ? `${line.slice(0, 59)}…` : line;
}
