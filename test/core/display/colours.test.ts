import assert from 'node:assert/strict';
import { divergingColour, sequentialColour, seriesColours, type Ground } from '../../../src/core/display/colours.ts';

// Simulation of full colour blindness: Machado, Oliveira and Fernandes 2009 ('A physiologically-based model for
// simulation of color vision deficiency'), matrices for severity 1.0, applied to linear sRGB.
const visions: Readonly<Record<string, readonly (readonly number[])[]>> = {
  usual: [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ],
  protan: [
    [0.152286, 1.052583, -0.204868],
    [0.114503, 0.786281, 0.099216],
    [-0.003882, -0.048116, 1.051998],
  ],
  deutan: [
    [0.367322, 0.860646, -0.227968],
    [0.280085, 0.672501, 0.047413],
    [-0.01182, 0.04294, 0.968881],
  ],
  tritan: [
    [1.255528, -0.076749, -0.178779],
    [-0.078411, 0.930809, 0.147602],
    [0.004733, 0.691367, 0.3039],
  ],
};
const grounds: readonly { ground: Ground; paper: string }[] = [
  { ground: 'light', paper: '#ffffff' },
  { ground: 'dark', paper: '#1f1f1f' },
];

/** sRGB decoding of IEC 61966-2-1. */
function linear(colour: string): number[] {
  return [1, 3, 5].map((at) => {
    const part = parseInt(colour.slice(at, at + 2), 16) / 255;
    return part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;
  });
}

function seen(colour: string, vision: string): number[] {
  const rgb = linear(colour);
  return visions[vision]!.map((row) =>
    Math.max(
      0,
      Math.min(
        1,
        row.reduce((sum, w, i) => sum + w * rgb[i]!, 0),
      ),
    ),
  );
}

/** CIELAB (CIE 15) with white D65, from linear sRGB. */
function lab(rgb: readonly number[]): [number, number, number] {
  const [r, g, b] = rgb as [number, number, number];
  const x = (0.4124564 * r + 0.3575761 * g + 0.1804375 * b) / 0.95047;
  const y = 0.2126729 * r + 0.7151522 * g + 0.072175 * b;
  const z = (0.0193339 * r + 0.119192 * g + 0.9503041 * b) / 1.08883;
  const f = (t: number): number => (t > 216 / 24389 ? Math.cbrt(t) : (24389 / 27 / 116) * t + 16 / 116);
  return [116 * f(y) - 16, 500 * (f(x) - f(y)), 200 * (f(y) - f(z))];
}

/** CIE 1976 colour difference; about 2.3 is just noticeable (Mahy, Van Eycken and Oosterlinck 1994). */
function difference(a: string, b: string, vision: string): number {
  const [p, q] = [lab(seen(a, vision)), lab(seen(b, vision))];
  return Math.hypot(p[0] - q[0], p[1] - q[1], p[2] - q[2]);
}

/** Contrast ratio of WCAG 2.1. */
function contrast(a: string, b: string): number {
  const luminance = (colour: string): number => {
    const [r, g, blue] = linear(colour) as [number, number, number];
    return 0.2126 * r + 0.7152 * g + 0.0722 * blue;
  };
  const [high, low] = [luminance(a), luminance(b)].sort((p, q) => q - p) as [number, number];
  return (high + 0.05) / (low + 0.05);
}

describe('colours', () => {
  it('have a referee that knows white, black and red in CIELAB (CIE 15; published sRGB values)', () => {
    assert.ok(Math.abs(lab(linear('#ffffff'))[0] - 100) < 0.01);
    assert.ok(Math.abs(lab(linear('#000000'))[0]) < 0.01);
    const [l, a, b] = lab(linear('#ff0000'));
    assert.ok(Math.abs(l - 53.24) < 0.1 && Math.abs(a - 80.09) < 0.1 && Math.abs(b - 67.2) < 0.1);
    assert.ok(Math.abs(contrast('#000000', '#ffffff') - 21) < 0.01);
  });

  for (const { ground, paper } of grounds) {
    for (const vision of Object.keys(visions)) {
      it(`of a signed field stay apart on ${ground} to ${vision} eyes, the two ends most of all`, () => {
        const steps = Array.from({ length: 13 }, (_, i) => divergingColour((i - 6) / 6, ground));
        for (let i = 1; i < steps.length; i++) {
          assert.ok(difference(steps[i - 1]!, steps[i]!, vision) > 2.3, `${steps[i - 1]} ${steps[i]}`);
        }
        assert.ok(difference(steps[0]!, steps[12]!, vision) > 30);
      });

      it(`of an unsigned field go one way in lightness on ${ground} to ${vision} eyes`, () => {
        const lightness = Array.from({ length: 11 }, (_, i) => lab(seen(sequentialColour(i / 10, ground), vision))[0]);
        const way = Math.sign(lightness[10]! - lightness[0]!);
        for (let i = 1; i < 11; i++) assert.ok(way * (lightness[i]! - lightness[i - 1]!) > 2.3);
      });

      it(`of the first four lines stay apart on ${ground} to ${vision} eyes`, () => {
        const lines = seriesColours(ground).slice(0, 4);
        lines.forEach((a, i) =>
          lines.slice(i + 1).forEach((b) => assert.ok(difference(a, b, vision) > 9, `${a} ${b}`)),
        );
      });
    }

    it(`of tension, compression and all lines reach 3:1 against the paper on ${ground} (WCAG 2.1, 1.4.11)`, () => {
      for (const colour of [divergingColour(1, ground), divergingColour(-1, ground), ...seriesColours(ground)]) {
        assert.ok(contrast(colour, paper) >= 3, `${colour} has ${contrast(colour, paper).toFixed(2)}`);
      }
    });

    it(`of a signed field are as light at -x as at +x on ${ground}`, () => {
      for (const x of [0.25, 0.5, 1]) {
        const [minus, plus] = [-x, x].map((value) => lab(linear(divergingColour(value, ground)))[0]);
        assert.ok(Math.abs(minus! - plus!) < 5, `${minus} ${plus}`);
      }
    });
  }
});
