// The editor carries messages to and from a page as JSON, which turns NaN and the infinities into null and leaves out what
// is undefined; typed arrays it carries beside it, but numbers them in one byte, so that of some hundreds the later ones
// arrive empty. Missing values are NaN in ours, a summary may lose its header and a reply has an array a series, so the
// former travel as marked strings, and all arrays of a message as cuts of one buffer.

const mark = '\u0001';
/** Key of a message with arrays: their bytes. Beside it, under `message`, stands the message itself. */
const arraysKey = `${mark}arrays`;

interface Packed {
  readonly message: unknown;
  readonly [arraysKey]: ArrayBuffer;
}

type Cut = ArrayBufferView | ArrayBuffer;

/** Every cut begins at a multiple of this, as the widest array's numbers must. */
const alignBytes = 8;

const makers: Readonly<Record<string, (bytes: ArrayBuffer, offset: number, length: number) => Cut>> = {
  ArrayBuffer: (bytes, offset, length) => bytes.slice(offset, offset + length),
  Float64Array: (bytes, offset, length) => new Float64Array(bytes, offset, length / 8),
  Float32Array: (bytes, offset, length) => new Float32Array(bytes, offset, length / 4),
  Int32Array: (bytes, offset, length) => new Int32Array(bytes, offset, length / 4),
  Uint32Array: (bytes, offset, length) => new Uint32Array(bytes, offset, length / 4),
  Int16Array: (bytes, offset, length) => new Int16Array(bytes, offset, length / 2),
  Uint16Array: (bytes, offset, length) => new Uint16Array(bytes, offset, length / 2),
  Int8Array: (bytes, offset, length) => new Int8Array(bytes, offset, length),
  Uint8Array: (bytes, offset, length) => new Uint8Array(bytes, offset, length),
};

/** A copy of `value` that survives the editor. @throws Error for an array of a kind that no message has. */
export function toWire(value: unknown): unknown {
  const arrays: { readonly at: number; readonly bytes: Uint8Array }[] = [];
  let size = 0;
  const message = marked(value, (array) => {
    const kind = kindOf(array);
    if (!makers[kind]) throw new Error(`no message has a ${kind}`);
    const bytes = isBuffer(array)
      ? new Uint8Array(array)
      : new Uint8Array(array.buffer, array.byteOffset, array.byteLength);
    const at = size;
    arrays.push({ at, bytes });
    size += Math.ceil(bytes.length / alignBytes) * alignBytes;
    return `${mark}cut ${kind} ${at} ${bytes.length}`;
  });
  if (arrays.length === 0) return message;
  const all = new Uint8Array(size);
  for (const { at, bytes } of arrays) all.set(bytes, at);
  return { message, [arraysKey]: all.buffer } satisfies Packed;
}

/** The reverse of `toWire`. Arrays are cuts of one buffer. */
export function fromWire(value: unknown): unknown {
  return isPacked(value) ? unmarked(value.message, value[arraysKey]) : unmarked(value, new ArrayBuffer(0));
}

function marked(value: unknown, cutOut: (array: Cut) => string): unknown {
  if (typeof value === 'number') return Number.isFinite(value) ? value : `${mark}${value}`;
  if (typeof value === 'string') return value.startsWith(mark) ? `${mark}text${value}` : value;
  if (value === undefined) return `${mark}undefined`;
  if (typeof value === 'object' && value !== null && (ArrayBuffer.isView(value) || isBuffer(value)))
    return cutOut(value);
  return mapInside(value, (inner) => marked(inner, cutOut));
}

function unmarked(value: unknown, arrays: ArrayBuffer): unknown {
  if (typeof value !== 'string') return mapInside(value, (inner) => unmarked(inner, arrays));
  if (!value.startsWith(mark)) return value;
  const body = value.slice(mark.length);
  if (body === 'undefined') return undefined;
  if (body.startsWith('text')) return body.slice('text'.length);
  if (!body.startsWith('cut ')) return Number(body);
  const [, kind = '', offset, length] = body.split(' ');
  return makers[kind]!(arrays, Number(offset), Number(length));
}

function mapInside(value: unknown, change: (inner: unknown) => unknown): unknown {
  if (Array.isArray(value)) return value.map(change);
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(Object.entries(value).map(([key, inner]) => [key, change(inner)]));
}

function isPacked(value: unknown): value is Packed {
  return typeof value === 'object' && value !== null && arraysKey in value;
}

/** Also where another window made it. */
function isBuffer(value: object): value is ArrayBuffer {
  return kindOf(value) === 'ArrayBuffer';
}

/** Also of an array that another window made. */
function kindOf(array: object): string {
  return Object.prototype.toString.call(array).slice('[object '.length, -1);
}
