// What a derived expression may do: operators as loops over columns, and functions by what they do to units.

export type Values = Float64Array;
export type Loop = (a: Values, b: Values, out: Values, rows: number) => void;

export const binary: Readonly<Record<string, Loop>> = {
  '+': (a, b, out, n) => {
    for (let i = 0; i < n; i++) out[i] = a[i]! + b[i]!;
  },
  '-': (a, b, out, n) => {
    for (let i = 0; i < n; i++) out[i] = a[i]! - b[i]!;
  },
  '*': (a, b, out, n) => {
    for (let i = 0; i < n; i++) out[i] = a[i]! * b[i]!;
  },
  '/': (a, b, out, n) => {
    for (let i = 0; i < n; i++) out[i] = a[i]! / b[i]!;
  },
  '^': (a, b, out, n) => {
    for (let i = 0; i < n; i++) out[i] = a[i]! ** b[i]!;
  },
};

/** Functions by what they do to units: keep them, need a plain number, or need an angle. */
export const keeping: Readonly<Record<string, (x: number) => number>> = {
  abs: Math.abs,
  floor: Math.floor,
  round: Math.round,
};
export const ofPlain: Readonly<Record<string, (x: number) => number>> = {
  exp: Math.exp,
  log: Math.log,
  log10: Math.log10,
  asin: Math.asin,
  acos: Math.acos,
  atan: Math.atan,
  sign: Math.sign,
};
export const ofAngle: Readonly<Record<string, (x: number) => number>> = { sin: Math.sin, cos: Math.cos, tan: Math.tan };
/** Of any number of arguments alike in unit, and the unit kept or dropped. */
export const ofMany: Readonly<Record<string, { join: (a: number, b: number) => number; keeps: boolean }>> = {
  // Of two that are equal the first, as mathjs has it: 0 and -0 are equal there, and not to Math.min. NaN wins.
  min: { join: (a, b) => (b < a || b !== b ? b : a), keeps: true },
  max: { join: (a, b) => (b > a || b !== b ? b : a), keeps: true },
  hypot: { join: Math.hypot, keeps: true },
  atan2: { join: Math.atan2, keeps: false },
};
export const constants: Readonly<Record<string, number>> = { pi: Math.PI, e: Math.E };
