// A drawing as plain data, so that one description serves the page (as elements), the report and exports (as text).
// Colours are classes; a stylesheet gives them, in the page from the editor's theme, in a file from `standaloneStyle`.
import { escapeText } from '../text/markupText.ts';

export interface SvgNode {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string | number>>;
  readonly children: readonly (SvgNode | string)[];
}

/** Attributes that are undefined are left out; numbers are written with at most two decimals. */
export function svg(
  name: string,
  attributes: Readonly<Record<string, string | number | undefined>> = {},
  children: readonly (SvgNode | string | undefined)[] = [],
): SvgNode {
  const kept: Record<string, string | number> = {};
  for (const [key, value] of Object.entries(attributes)) if (value !== undefined) kept[key] = value;
  return { name, attributes: kept, children: children.filter((child) => child !== undefined) };
}

/** The node as markup. The root gets its namespace, so that the text is a whole file. */
export function svgText(root: SvgNode): string {
  return markup(root, true);
}

export function attributeText(value: string | number): string {
  return typeof value === 'number' ? coordinate(value) : value;
}

/** A coordinate on the page: two decimals are a fiftieth of a pixel. Throws on NaN, which would void the drawing. */
export function coordinate(value: number): string {
  if (!Number.isFinite(value)) throw new Error(`expected a finite coordinate, got ${value}`);
  return String(Math.round(value * 100) / 100);
}

function markup(node: SvgNode, root: boolean): string {
  const namespace = root ? ' xmlns="http://www.w3.org/2000/svg"' : '';
  const attributes = Object.entries(node.attributes)
    .map(([key, value]) => ` ${key}="${escapeText(attributeText(value))}"`)
    .join('');
  const inner = node.children.map((child) => (typeof child === 'string' ? escapeText(child) : markup(child, false)));
  return `<${node.name}${namespace}${attributes}>${inner.join('')}</${node.name}>`;
}

/** A coordinate on the page as it is written: two decimals. */
export function round(value: number): number {
  return Math.round(value * 100) / 100;
}
