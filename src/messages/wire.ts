// The editor carries messages to and from a page as JSON (typed arrays apart), which turns NaN and the infinities into
// null and leaves out what is undefined. Missing values are NaN in ours, and a summary may lose its header, so these travel
// as marked strings and come back as they were.

const mark = '\u0001';

/** A copy of `value` that survives JSON; typed arrays and buffers are handed through as they are. */
export function toWire(value: unknown): unknown {
  if (typeof value === 'number') return Number.isFinite(value) ? value : `${mark}${value}`;
  if (typeof value === 'string') return value.startsWith(mark) ? `${mark}text${value}` : value;
  if (value === undefined) return `${mark}undefined`;
  return mapInside(value, toWire);
}

/** The reverse of `toWire`. */
export function fromWire(value: unknown): unknown {
  if (typeof value !== 'string') return mapInside(value, fromWire);
  if (!value.startsWith(mark)) return value;
  const body = value.slice(mark.length);
  if (body === 'undefined') return undefined;
  return body.startsWith('text') ? body.slice('text'.length) : Number(body);
}

function mapInside(value: unknown, change: (inner: unknown) => unknown): unknown {
  if (Array.isArray(value)) return value.map(change);
  if (typeof value !== 'object' || value === null) return value;
  if (value instanceof ArrayBuffer || ArrayBuffer.isView(value)) return value;
  return Object.fromEntries(Object.entries(value).map(([key, inner]) => [key, change(inner)]));
}
