// The legend under the plate map: what a stroke of either sense stands for, what the rings do where there is no direction or no value, the
// bands of a surface, and the marks beside the names of cells.
import { divergingColour, sequentialColour, type Ground } from '../colours.ts';
import { legendFlow, type LegendEntry } from '../svg/legendFlow.ts';
import { strokeMark, type CrossScale } from './mapGeometry.ts';
import { fixed, withUnit } from '../numberFormat.ts';
import type { Band } from './surface.ts';
import { svg, type SvgNode } from '../svg/svg.ts';

const bandPx = 10;
/** Radius of the ring of a cell without a value. */
export const ringPx = 3.5;
/** Radius of the legend's ring without a direction: so large that its dashes show. */
const noDirectionPx = 6;

export interface LegendInput {
  /** Value on screen = value * scale. */
  readonly unitLabel: string;
  readonly unitScale: number;
  readonly senses?: readonly [string, string] | undefined;
  readonly field?: { readonly title: string; readonly signed: boolean } | undefined;
  readonly ground: Ground;
}

export interface Legend {
  readonly lines: number;
  readonly mark: SvgNode;
}

/** What the map shows beside crosses; '' for what it does not. */
export interface LegendSigns {
  /** What a cell is called that has a ring for want of a value. */
  readonly noValue: string;
  /** What a dashed ring says. */
  readonly noDirection: string;
  /** What the marks beside names say. */
  readonly marks: string;
}

/** `left` and `top`: where the middle of its first line begins. */
export function mapLegend(
  input: LegendInput,
  scale: CrossScale,
  bands: readonly Band[],
  signs: LegendSigns,
  [left, top]: readonly [number, number],
  roomPx: number,
): Legend {
  const entries = [
    ...senseEntries(input, scale),
    ...ringEntries(signs.noDirection, 'no-direction tension', noDirectionPx),
    ...ringEntries(signs.noValue, 'no-value', ringPx),
    ...fieldEntries(input, bands),
    ...textEntries(signs.marks),
  ];
  const room = { left, top, widthPx: roomPx, takenPx: 0, long: 'broken' } as const;
  const { lines, marks } = legendFlow(entries, room);
  return { lines, mark: svg('g', { class: 'legend' }, marks) };
}

function senseEntries({ unitLabel, unitScale, senses }: LegendInput, scale: CrossScale): LegendEntry[] {
  if (!(scale.barValue > 0)) return [];
  const label = withUnit(String(Number((scale.barValue * unitScale).toPrecision(6))), unitLabel);
  const [positive, negative] = senses ?? ['tension', 'compression'];
  const entry = (value: number, name: string): LegendEntry => ({
    sampleWidthPx: scale.barPx,
    sample: (x, y) => {
      const { sense, shaft, heads } = strokeMark(x + scale.barPx / 2, y, 0, value, scale.barPx / 2);
      return [svg('path', { class: `shaft ${sense}`, d: shaft }), svg('path', { class: `heads ${sense}`, d: heads })];
    },
    text: `${name} ${label}`,
  });
  return [entry(1, positive), entry(-1, negative)];
}

function ringEntries(text: string, ring: string, r: number): LegendEntry[] {
  if (text === '') return [];
  const sample = (x: number, y: number): SvgNode[] => [svg('circle', { class: ring, cx: x + r, cy: y, r })];
  return [{ sampleWidthPx: 2 * r, sample, text }];
}

function fieldEntries({ field, unitLabel, unitScale, ground }: LegendInput, bands: readonly Band[]): LegendEntry[] {
  if (!field) return [];
  if (bands.every(({ path }) => path === ''))
    return textEntries('no surface: it takes three cells with a value, not in one line');
  const [from, to] = [bands[0]!.from * unitScale, bands.at(-1)!.to * unitScale];
  const end = (value: number): string => fixed(value, Math.abs(to) < 10 ? 2 : 0);
  return [
    {
      sampleWidthPx: bands.length * bandPx,
      sample: (x, y) =>
        bands.map((_, band) => {
          const fill = bandColour(band, bands, field.signed, ground);
          return svg('rect', { x: x + band * bandPx, y: y - 5, width: bandPx, height: 10, fill });
        }),
      text: `${end(from)} … ${withUnit(end(to), unitLabel)}, ${field.title}, interpolated`,
    },
  ];
}

function textEntries(text: string): LegendEntry[] {
  return text === '' ? [] : [{ sampleWidthPx: 0, sample: () => [], text }];
}

export function bandColour(band: number, bands: readonly Band[], signed: boolean, ground: Ground): string {
  const share = bands.length > 1 ? band / (bands.length - 1) : 0.5;
  return signed ? divergingColour(2 * share - 1, ground) : sequentialColour(share, ground);
}
