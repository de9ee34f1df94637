// Random numbers that are the same on every machine: a named stream per purpose, so that adding a channel or a fault
// to a scenario leaves every other stream as it was.
// Generator: sfc32 (Doty-Humphrey, PractRand, 2010), seeded by an FNV-1a hash of the name (Fowler, Noll, Vo).
// Normal: inverse of the distribution function, algorithm AS 241 (Wichura, Applied Statistics 37, 1988), one uniform each.
// Student: polar method (Bailey, Mathematics of Computation 62, 1994).

export class RandomStream {
  #a: number;
  #b: number;
  #c: number;
  #counter = 1;

  constructor(seed: number, name: string) {
    const key = `${seed}/${name}`;
    this.#a = hash32(`a${key}`);
    this.#b = hash32(`b${key}`);
    this.#c = hash32(`c${key}`);
    for (let i = 0; i < 15; i++) this.#next32();
  }

  /** Uniform in the open interval (0, 1), 53 bits. */
  uniform(): number {
    const high = this.#next32() >>> 5;
    const low = this.#next32() >>> 6;
    return (high * 67108864 + low + 0.5) / 9007199254740992;
  }

  between(low: number, high: number): number {
    return low + (high - low) * this.uniform();
  }

  /** Mean 0, variance 1. */
  normal(): number {
    return normalQuantile(this.uniform());
  }

  /** Student's t scaled to variance 1; needs more than 2 degrees of freedom. */
  student(degrees: number): number {
    for (;;) {
      const u = 2 * this.uniform() - 1;
      const v = 2 * this.uniform() - 1;
      const w = u * u + v * v;
      if (w > 1 || w === 0) continue;
      const t = u * Math.sqrt((degrees * (Math.pow(w, -2 / degrees) - 1)) / w);
      return t * Math.sqrt((degrees - 2) / degrees);
    }
  }

  #next32(): number {
    const sum = (this.#a + this.#b + this.#counter) | 0;
    this.#counter = (this.#counter + 1) | 0;
    this.#a = this.#b ^ (this.#b >>> 9);
    this.#b = (this.#c + (this.#c << 3)) | 0;
    this.#c = ((this.#c << 21) | (this.#c >>> 11)) + sum;
    this.#c |= 0;
    return sum >>> 0;
  }
}

function hash32(text: string): number {
  let hash = 0x811c9dc5;
  for (let i = 0; i < text.length; i++) {
    hash ^= text.charCodeAt(i);
    hash = Math.imul(hash, 0x01000193);
  }
  return hash | 0;
}

const central = {
  top: [
    3.387132872796366608, 133.14166789178437745, 1971.5909503065514427, 13731.693765509461125, 45921.953931549871457,
    67265.770927008700853, 33430.575583588128105, 2509.0809287301226727,
  ],
  bottom: [
    1, 42.313330701600911252, 687.1870074920579083, 5394.1960214247511077, 21213.794301586595867, 39307.89580009271061,
    28729.085735721942674, 5226.495278852854561,
  ],
};
const middle = {
  top: [
    1.42343711074968357734, 4.6303378461565452959, 5.7694972214606914055, 3.64784832476320460504,
    1.27045825245236838258, 0.24178072517745061177, 0.0227238449892691845833, 7.7454501427834140764e-4,
  ],
  bottom: [
    1, 2.05319162663775882187, 1.6763848301838038494, 0.68976733498510000455, 0.14810397642748007459,
    0.0151986665636164571966, 5.475938084995344946e-4, 1.05075007164441684324e-9,
  ],
};
const far = {
  top: [
    6.6579046435011037772, 5.4637849111641143699, 1.7848265399172913358, 0.29656057182850489123,
    0.026532189526576123093, 0.0012426609473880784386, 2.71155556874348757815e-5, 2.01033439929228813265e-7,
  ],
  bottom: [
    1, 0.59983220655588793769, 0.13692988092273580531, 0.0148753612908506148525, 7.868691311456132591e-4,
    1.8463183175100546818e-5, 1.4215117583164458887e-7, 2.04426310338993978564e-15,
  ],
};

function ratio(form: { readonly top: readonly number[]; readonly bottom: readonly number[] }, x: number): number {
  let top = 0;
  let bottom = 0;
  for (let i = 7; i >= 0; i--) {
    top = top * x + form.top[i]!;
    bottom = bottom * x + form.bottom[i]!;
  }
  return top / bottom;
}

/** The value that a standard normal variable stays below with the given probability, 0 < probability < 1. */
export function normalQuantile(probability: number): number {
  const q = probability - 0.5;
  if (Math.abs(q) <= 0.425) return q * ratio(central, 0.180625 - q * q);
  const tail = Math.sqrt(-Math.log(q < 0 ? probability : 1 - probability));
  const value = tail <= 5 ? ratio(middle, tail - 1.6) : ratio(far, tail - 5);
  return q < 0 ? -value : value;
}
