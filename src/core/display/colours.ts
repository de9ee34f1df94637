// Colours of our own for signed and unsigned fields and for the series of a plot, made in OKLCH (B. Ottosson, 2020:
// 'A perceptual color space for image processing') so that lightness alone carries the order: a field reads the same
// without colour vision. Blue and orange are the pair that the common forms of colour blindness keep apart.
// In: a number in [-1, 1] or [0, 1]. Out: '#rrggbb' (sRGB).

export type Ground = 'light' | 'dark';

interface Lch {
  readonly lightness: number;
  readonly chroma: number;
  readonly hueDeg: number;
}

const blueDeg = 255;
const orangeDeg = 60;

/** Signed field: -1 deep blue, 0 the ground's neutral, +1 deep orange. Same distance from zero, same lightness. */
export function divergingColour(signed: number, ground: Ground): string {
  const size = Math.min(1, Math.abs(signed));
  const neutral = ground === 'light' ? 0.96 : 0.3;
  const strong = ground === 'light' ? 0.5 : 0.8;
  return colourOf({
    lightness: neutral + (strong - neutral) * size,
    chroma: 0.15 * Math.sqrt(size),
    hueDeg: signed < 0 ? blueDeg : orangeDeg,
  });
}

/** Unsigned field: 0 next to the ground, 1 far from it, lightness in equal steps. */
export function sequentialColour(share: number, ground: Ground): string {
  const size = Math.max(0, Math.min(1, share));
  const start = ground === 'light' ? 0.95 : 0.3;
  const end = ground === 'light' ? 0.35 : 0.9;
  return colourOf({ lightness: start + (end - start) * size, chroma: 0.03 + 0.1 * size, hueDeg: 290 - 90 * size });
}

/** Of another log's lines, behind all others: grey, with a contrast of 3 to the ground at least. */
export function behindColour(ground: Ground): string {
  return colourOf({ lightness: ground === 'light' ? 0.63 : 0.65, chroma: 0.02, hueDeg: 250 });
}

/**
 * Line colours in the order of use. Neighbours differ in lightness as well as hue, and lines also differ by dashes
 * (see `dashes`), so that no line is told by colour alone.
 */
export function seriesColours(ground: Ground): readonly string[] {
  const shades: readonly (readonly [number, number, number])[] =
    ground === 'light'
      ? [
          [0.55, 0.15, blueDeg],
          [0.66, 0.16, orangeDeg],
          [0.42, 0.11, 160],
          [0.6, 0.17, 350],
          [0.35, 0.1, 300],
          [0.6, 0.12, 110],
        ]
      : [
          [0.74, 0.13, blueDeg],
          [0.8, 0.14, orangeDeg],
          [0.88, 0.12, 160],
          [0.7, 0.16, 350],
          [0.62, 0.15, 300],
          [0.92, 0.13, 105],
        ];
  return shades.map(([lightness, chroma, hueDeg]) => colourOf({ lightness, chroma, hueDeg }));
}

/** Dash patterns in pixels, in the order of use; [] is a whole line. */
export const dashes: readonly (readonly number[])[] = [[], [7, 3], [2, 3], [10, 3, 2, 3], [4, 2], [1, 2]];

/** OKLCH to sRGB text; chroma is lowered until the colour exists on a screen. */
function colourOf({ lightness, chroma, hueDeg }: Lch): string {
  for (let share = 1; share > 0; share -= 0.02) {
    const linear = linearRgb(lightness, chroma * share, hueDeg);
    if (linear.every((part) => part >= -1e-4 && part <= 1.0001)) return hex(linear);
  }
  return hex(linearRgb(lightness, 0, hueDeg));
}

function linearRgb(lightness: number, chroma: number, hueDeg: number): number[] {
  const a = chroma * Math.cos((hueDeg * Math.PI) / 180);
  const b = chroma * Math.sin((hueDeg * Math.PI) / 180);
  const l = (lightness + 0.3963377774 * a + 0.2158037573 * b) ** 3;
  const m = (lightness - 0.1055613458 * a - 0.0638541728 * b) ** 3;
  const s = (lightness - 0.0894841775 * a - 1.291485548 * b) ** 3;
  return [
    4.0767416621 * l - 3.3077115913 * m + 0.2309699292 * s,
    -1.2684380046 * l + 2.6097574011 * m - 0.3413193965 * s,
    -0.0041960863 * l - 0.7034186147 * m + 1.707614701 * s,
  ];
}

function hex(linear: readonly number[]): string {
  const part = (value: number): string => {
    const clamped = Math.max(0, Math.min(1, value));
    const encoded = clamped <= 0.0031308 ? 12.92 * clamped : 1.055 * clamped ** (1 / 2.4) - 0.055;
    return Math.round(encoded * 255)
      .toString(16)
      .padStart(2, '0');
  };
  return `#${linear.map(part).join('')}`;
}
