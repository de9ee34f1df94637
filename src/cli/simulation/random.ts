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
    3.3871328727963665, 133.14166789178438, 1971.5909503065513, 13731.69376550946, 45921.95393154987, 67265.7709270087,
    33430.57558358813, 2509.0809287301227,
  ],
  bottom: [
    1, 42.31333070160091, 687.1870074920579, 5394.196021424751, 21213.794301586597, 39307.89580009271,
    28729.085735721943, 5226.495278852854,
  ],
};
const middle = {
  top: [
    1.4234371107496835, 4.630337846156546, 5.769497221460691, 3.6478483247632045, 1.2704582524523684,
    0.2417807251774506, 0.022723844989269184, 0.0007745450142783414,
  ],
  bottom: [
    1, 2.053191626637759, 1.6763848301838038, 0.6897673349851, 0.14810397642748008, 0.015198666563616457,
    0.0005475938084995345, 1.0507500716444169e-9,
  ],
};
const far = {
  top: [
    6.657904643501103, 5.463784911164114, 1.7848265399172913, 0.29656057182850487, 0.026532189526576124,
    0.0012426609473880784, 2.7115555687434876e-5, 2.0103343992922881e-7,
  ],
  bottom: [
    1, 0.599832206555888, 0.1369298809227358, 0.014875361290850615, 0.0007868691311456133, 1.8463183175100548e-5,
    1.421511758316446e-7, 2.0442631033899397e-15,
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
