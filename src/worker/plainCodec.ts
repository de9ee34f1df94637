// Plain data (numbers, texts, arrays, objects, typed arrays) to one JSON text and a list of buffers, and back: the form
// in which states are kept in an index file. Every number comes back bit by bit, those that JSON has no word for included.

const arrayTypes = {
  f64: Float64Array,
  f32: Float32Array,
  i32: Int32Array,
  u32: Uint32Array,
  i16: Int16Array,
  u16: Uint16Array,
  i8: Int8Array,
  u8: Uint8Array,
} as const;

type TypeName = keyof typeof arrayTypes;

export interface Packed {
  readonly json: string;
  readonly buffers: readonly Uint8Array[];
}

/** @throws TypeError for what is not plain data. */
export function pack(value: unknown): Packed {
  const buffers: Uint8Array[] = [];
  const replace = (inner: unknown): unknown => {
    if (typeof inner === 'number')
      return isWritable(inner) ? inner : { $number: Object.is(inner, -0) ? '-0' : `${inner}` };
    if (inner === undefined) return { $undefined: true };
    if (inner === null || typeof inner === 'string' || typeof inner === 'boolean') return inner;
    if (Array.isArray(inner)) return inner.map(replace);
    if (ArrayBuffer.isView(inner)) return packArray(inner, buffers);
    if (Object.getPrototypeOf(inner) !== Object.prototype) throw new TypeError(`cannot keep a ${typeof inner}`);
    return Object.fromEntries(Object.entries(inner as object).map(([key, part]) => [key, replace(part)]));
  };
  return { json: JSON.stringify(replace(value)), buffers };
}

/** `buffers` gives the bytes of buffer `index`; they are copied, so that the arrays are aligned and own their memory. */
export function unpack(json: string, buffers: (index: number) => Uint8Array): unknown {
  // Not by a reviver of JSON.parse: that drops what is undefined.
  const restore = (inner: unknown): unknown => {
    if (typeof inner !== 'object' || inner === null) return inner;
    if (Array.isArray(inner)) return inner.map(restore);
    if ('$number' in inner) return Number(inner.$number);
    if ('$undefined' in inner) return undefined;
    if ('$array' in inner && 'type' in inner) {
      return unpackArray(buffers(inner.$array as number), inner.type as TypeName);
    }
    return Object.fromEntries(Object.entries(inner).map(([key, part]) => [key, restore(part)]));
  };
  return restore(JSON.parse(json));
}

function isWritable(value: number): boolean {
  return Number.isFinite(value) && !Object.is(value, -0);
}

function packArray(view: ArrayBufferView, buffers: Uint8Array[]): object {
  const type = (Object.keys(arrayTypes) as TypeName[]).find((name) => view instanceof arrayTypes[name]);
  if (!type) throw new TypeError('cannot keep this kind of array');
  buffers.push(new Uint8Array(view.buffer, view.byteOffset, view.byteLength));
  return { $array: buffers.length - 1, type };
}

function unpackArray(bytes: Uint8Array, type: TypeName): ArrayBufferView {
  return new arrayTypes[type](bytes.slice().buffer);
}
