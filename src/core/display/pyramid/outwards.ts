// Float64 to float32 away from the middle: a lower bound stays a lower bound, an upper one an upper. Values beyond what
// float32 holds become its largest, so that a finite number never turns into infinity.

const largestFloat32 = 3.4028234663852886e38;
const asFloat = new Float32Array(1);
const asBits = new Int32Array(asFloat.buffer);

/** The largest float32 that is not above `value`. */
export function roundDown(value: number): number {
  const near = Math.fround(Math.max(-largestFloat32, Math.min(largestFloat32, value)));
  return near > value ? floatBelow(near) : near;
}

/** The smallest float32 that is not below `value`. */
export function roundUp(value: number): number {
  return -roundDown(-value);
}

/** The float32 next below a finite one: within one sign, bits are in the order of the values (IEEE 754). */
function floatBelow(value: number): number {
  if (value === 0) return -1.401298464324817e-45;
  asFloat[0] = value;
  asBits[0] = asBits[0]! + (value > 0 ? -1 : 1);
  return asFloat[0]!;
}
