// The plate map as a drawing: plate to scale with axes in millimetres, part outlines, fibres, a principal cross per cell,
// an event's cells and origin, and if asked for a field interpolated between the cells. Pure: the page, the report and
// the export draw the same. Positions in metres, values in SI with the factor to the screen's unit.
import type { LogHeader } from '../header/logHeader.ts';
import { divergingColour, sequentialColour, type Ground } from './colours.ts';
import {
  cellReachPx,
  cellSpacingM,
  crossScale,
  errorWedge,
  largestSize,
  plateFrame,
  strokeMark,
  toPage,
  type CrossScale,
  type PlateFrame,
  type PrincipalPair,
} from './mapGeometry.ts';
import { cellNames, partNames, type Box } from './mapNames.ts';
import { fibreLayer, partOutline, plateAndAxes, recoaterArrow, type MapHeader } from './mapPlate.ts';
import { axisText, measure, withUnit, fixed } from './numberFormat.ts';
import { sickMark, sickText } from './sickText.ts';
import { fieldBands, type Band } from './surface.ts';
import { round, svg, type SvgNode } from './svg.ts';

export interface MapField {
  readonly title: string;
  /** Per cell of the header, in the map's unit; NaN where undefined. */
  readonly values: readonly number[];
  readonly signed: boolean;
}

export interface MapEvent {
  readonly cells: readonly { readonly cell: number }[];
  readonly originM: readonly [number, number];
  readonly originSpreadM: number;
}

export interface PlateMapInput {
  readonly header: MapHeader;
  readonly pairs: readonly PrincipalPair[];
  /** Value on screen = value * scale. */
  readonly unitLabel: string;
  readonly unitScale: number;
  /** What the crosses are, e.g. 'principal strain, plane up'. */
  readonly caption: string;
  /** What a positive and a negative value are called; left out: tension and compression. */
  readonly senses?: readonly [string, string] | undefined;
  /** Whose fibres are drawn: index of the plane, -1 for all. */
  readonly plane: number;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly ground: Ground;
  /** Size that the longest stroke stands for, so that it holds through time; left out: the largest pair's. */
  readonly largest?: number | undefined;
  readonly event?: MapEvent | undefined;
  readonly field?: MapField | undefined;
  readonly chosenCell?: number | undefined;
  readonly comparedCell?: number | undefined;
}

const margins = { left: 40, right: 12, top: 22, bottom: 52 } as const;
/** Room for the bands of a surface, or for a second line of the legend. */
const legendLinePx = 20;

/** Height at which the plate fills a drawing of `widthPx`. */
export function mapHeight(header: Pick<LogHeader, 'plate'>, widthPx: number, withField: boolean): number {
  const [widthM, depthM] = header.plate.sizeM;
  const plate = ((widthPx - margins.left - margins.right) * depthM) / widthM;
  return plate + margins.top + margins.bottom + (withField || widthPx < 420 ? legendLinePx : 0);
}

export function plateMap(input: PlateMapInput): SvgNode {
  const { header, widthPx, heightPx } = input;
  const more = input.field || widthPx < 420 ? legendLinePx : 0;
  const frame = plateFrame(header.plate.sizeM, widthPx, heightPx, { ...margins, bottom: margins.bottom + more });
  const spacingPx = cellSpacingM(header.cells, header.plate.sizeM) * frame.pxPerM;
  const scale = crossScale(spacingPx, input.largest ?? largestSize(input.pairs));
  const bands = input.field ? bandsOf(input, frame) : [];
  return svg(
    'svg',
    {
      class: 'plate-map',
      viewBox: `0 0 ${widthPx} ${heightPx}`,
      width: widthPx,
      height: heightPx,
      role: 'img',
      'aria-label': `Plate map: ${input.caption}`,
    },
    [
      ...plateAndAxes(header, frame),
      input.field ? surfaceLayer(bands, input) : undefined,
      ...header.parts.map((part) => partOutline(part, frame)),
      recoaterArrow(header, frame),
      input.event ? originMark(input.event, frame) : undefined,
      fibreLayer(header, input.plane, frame, spacingPx),
      svg(
        'g',
        { class: 'cells' },
        header.cells.map((_, cell) => cellMark(input, frame, scale, spacingPx, cell)),
      ),
      ...names(input, frame, scale, spacingPx),
      legend(input, frame, scale, bands),
    ],
  );
}

function cellMark(
  input: PlateMapInput,
  frame: PlateFrame,
  scale: CrossScale,
  spacingPx: number,
  index: number,
): SvgNode {
  const cell = input.header.cells[index]!;
  const [x, y] = toPage(frame, cell.xM, cell.yM);
  const pair = input.pairs.find((one) => one.cell === index);
  const sick = pair?.sick ?? [];
  const said = sickText(sick);
  const concerned = input.event?.cells.some((one) => one.cell === index) ?? false;
  const chosen = input.chosenCell === index;
  const classes = ['cell', concerned && 'concerned', chosen && 'chosen', input.comparedCell === index && 'compared'];
  const reach = cellReachPx(spacingPx);
  return svg('g', { class: classes.filter(Boolean).join(' '), 'data-cell': index }, [
    svg('title', {}, [[`${cell.name}: ${pairText(pair, input)}`, said].filter((text) => text !== '').join('; ')]),
    svg('rect', { class: 'cell-area', x: x - reach, y: y - reach, width: 2 * reach, height: 2 * reach, rx: 6 }),
    ...crossMarks(pair, x, y, scale),
  ]);
}

/** Over everything else. The cell with the largest change of the event comes first in it. */
function names(input: PlateMapInput, frame: PlateFrame, scale: CrossScale, spacingPx: number): SvgNode[] {
  const { header, pairs, event, chosenCell, comparedCell } = input;
  const asked = [chosenCell, comparedCell, event?.cells[0]?.cell];
  const sickOf = (cell: number): string => sickMark(pairs.find((one) => one.cell === cell)?.sick ?? []);
  const cells = header.cells.map(({ name, xM, yM }, cell) => {
    const [x, y] = toPage(frame, xM, yM);
    const text = [name, sickOf(cell)].filter((part) => part !== '').join(' ');
    return { name: text, x, y, wanted: asked.includes(cell) };
  });
  const ofCells = cellNames(cells, cellReachPx(spacingPx), frame);
  const crosses = pairs.flatMap((pair): Box[] => {
    const at = cells[pair.cell];
    const half = 0.7 * scale.halfPxPerUnit * largestSize([pair]);
    return at ? [{ left: at.x - half, top: at.y - half, width: 2 * half, height: 2 * half }] : [];
  });
  const standing = ofCells.map(({ box }) => box);
  const ofParts = partNames(header.parts, frame, standing, crosses);
  return [
    svg(
      'g',
      { class: 'names' },
      [...ofParts, ...ofCells].map(({ mark }) => mark),
    ),
  ];
}

function crossMarks(pair: PrincipalPair | undefined, x: number, y: number, scale: CrossScale): SvgNode[] {
  if (!pair || !Number.isFinite(pair.first) || !Number.isFinite(pair.second)) {
    return [svg('circle', { class: 'no-value', cx: x, cy: y, r: 3.5 })];
  }
  const half = (value: number): number => Math.abs(value) * scale.halfPxPerUnit;
  if (!Number.isFinite(pair.dirDeg)) {
    const radius = Math.max(4, half((pair.first + pair.second) / 2));
    const sense = pair.first + pair.second < 0 ? 'compression' : 'tension';
    return [svg('circle', { class: `no-direction ${sense}`, cx: x, cy: y, r: radius })];
  }
  const angle = (pair.dirDeg * Math.PI) / 180;
  const reach = Math.max(half(pair.first), half(pair.second), 8);
  const wedge =
    pair.dirErrorDeg >= 0.5
      ? [svg('path', { class: 'error-wedge', d: errorWedge(x, y, pair.dirDeg, Math.min(45, pair.dirErrorDeg), reach) })]
      : [];
  const strokes = [
    strokeMark(x, y, angle + Math.PI / 2, pair.second, half(pair.second)),
    strokeMark(x, y, angle, pair.first, half(pair.first)),
  ];
  return [
    ...wedge,
    ...strokes.flatMap(({ sense, shaft, heads }) => [
      svg('path', { class: `shaft ${sense}`, d: shaft }),
      ...(heads === '' ? [] : [svg('path', { class: `heads ${sense}`, d: heads })]),
    ]),
    svg('circle', { class: 'centre', cx: x, cy: y, r: 1.6 }),
  ];
}

function pairText(pair: PrincipalPair | undefined, { unitLabel, unitScale }: PlateMapInput): string {
  if (!pair || !Number.isFinite(pair.first)) return 'no value';
  const direction = Number.isFinite(pair.dirDeg)
    ? `direction ${axisText(pair.dirDeg, pair.dirErrorDeg)}`
    : 'direction undefined (too small against the noise)';
  return `${measure(pair.first * unitScale, unitLabel)} and ${measure(pair.second * unitScale, unitLabel)}, ${direction}`;
}

function originMark({ originM, originSpreadM }: MapEvent, frame: PlateFrame): SvgNode | undefined {
  if (!Number.isFinite(originM[0]) || !Number.isFinite(originM[1])) return undefined;
  const [x, y] = toPage(frame, originM[0], originM[1]);
  const radius = Number.isFinite(originSpreadM) ? Math.max(5, originSpreadM * frame.pxPerM) : 5;
  return svg('g', { class: 'origin' }, [
    svg('title', {}, [
      `Origin at ${fixed(originM[0] * 1e3, 0)}, ${fixed(originM[1] * 1e3, 0)} mm, spread ${measure(originSpreadM * 1e3, 'mm')}`,
    ]),
    svg('circle', { cx: x, cy: y, r: radius }),
    svg('path', { d: `M${round(x - 7)} ${round(y)}h14M${round(x)} ${round(y - 7)}v14` }),
  ]);
}

function bandsOf({ field, header }: PlateMapInput, frame: PlateFrame): Band[] {
  const points = header.cells.map((cell, index) => {
    const [x, y] = toPage(frame, cell.xM, cell.yM);
    return { x, y, value: field!.values[index] ?? NaN };
  });
  return fieldBands(points, field!.signed);
}

function bandColour(band: number, bands: readonly Band[], signed: boolean, ground: Ground): string {
  const share = bands.length > 1 ? band / (bands.length - 1) : 0.5;
  return signed ? divergingColour(2 * share - 1, ground) : sequentialColour(share, ground);
}

function surfaceLayer(bands: readonly Band[], { field, ground }: PlateMapInput): SvgNode {
  return svg(
    'g',
    { class: 'surface' },
    bands.flatMap(({ path }, band) => {
      const fill = bandColour(band, bands, field!.signed, ground);
      return path === '' ? [] : [svg('path', { d: path, fill, stroke: fill })];
    }),
  );
}

function legend(input: PlateMapInput, frame: PlateFrame, scale: CrossScale, bands: readonly Band[]): SvgNode {
  const left = frame.leftPx;
  let top = frame.topPx + frame.sizeM[1] * frame.pxPerM + 38;
  const marks: SvgNode[] = [];
  let x = left;
  if (scale.barValue > 0) {
    const label = withUnit(String(Number((scale.barValue * input.unitScale).toPrecision(6))), input.unitLabel);
    const [positive, negative] = input.senses ?? ['tension', 'compression'];
    for (const [value, name] of [
      [1, positive],
      [-1, negative],
    ] as const) {
      const width = scale.barPx + 18 + 6 * `${name} ${label}`.length;
      if (x > left && x + width > frame.widthPx) [x, top] = [left, top + 16];
      const mark = strokeMark(x + scale.barPx / 2, top, 0, value, scale.barPx / 2);
      marks.push(
        svg('path', { class: `shaft ${mark.sense}`, d: mark.shaft }),
        svg('path', { class: `heads ${mark.sense}`, d: mark.heads }),
        svg('text', { class: 'legend-text', x: x + scale.barPx + 6, y: top + 4 }, [`${name} ${label}`]),
      );
      x += width;
    }
  }
  if (input.field && bands.some(({ path }) => path !== '')) marks.push(...bandLegend(input, bands, left, top + 20));
  else if (input.field) marks.push(svg('text', { class: 'legend-text', x: left, y: top + 21 }, [noSurface]));
  return svg('g', { class: 'legend' }, marks);
}

const noSurface = 'no surface: it takes three cells with a value, not in one line';

function bandLegend(input: PlateMapInput, bands: readonly Band[], left: number, top: number): SvgNode[] {
  const width = 10;
  const widest = Math.abs(bands.at(-1)!.to * input.unitScale);
  const end = (value: number): string => fixed(value * input.unitScale, widest < 10 ? 2 : 0);
  const text = `${end(bands[0]!.from)} … ${withUnit(end(bands.at(-1)!.to), input.unitLabel)}, ${input.field!.title}, interpolated`;
  return [
    ...bands.map((_, band) =>
      svg('rect', {
        x: left + band * width,
        y: top - 8,
        width,
        height: 10,
        fill: bandColour(band, bands, input.field!.signed, input.ground),
      }),
    ),
    svg('text', { class: 'legend-text', x: left + bands.length * width + 6, y: top + 1 }, [text]),
  ];
}
