// The plate map as a drawing: plate to scale with axes in millimetres, part outlines, fibres, a principal cross per cell,
// an event's cells and origin, and if asked for a field interpolated between the cells. Pure: the page, the report and
// the export draw the same. Positions in metres, values in SI with the factor to the screen's unit.
import type { Ground } from '../colours.ts';
import {
  cellBox,
  cellReachPx,
  cellSpacingM,
  circleOnPlate,
  crossScale,
  errorWedge,
  largestSize,
  plateFrame,
  strokeMark,
  toPage,
  type Box,
  type CrossScale,
  type PlateFrame,
  type PrincipalPair,
} from './mapGeometry.ts';
import { legendLinePx } from '../svg/legendFlow.ts';
import { bandColour, mapLegend, ringPx, type Legend } from './mapLegend.ts';
import { cellNames, partNames, type PlacedName } from './mapNames.ts';
import { fibreLayer, partOutline, plateAndAxes, recoaterArrow, type MapHeader } from './mapPlate.ts';
import { axisText, measure } from '../numberFormat.ts';
import { placeText } from '../text/placeText.ts';
import { sickMark, sickMarkKey, sickText } from '../text/sickText.ts';
import { fieldBands, type Band } from './surface.ts';
import { round, svg, type SvgNode } from '../svg/svg.ts';

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
  /** What a cell without a value is called; left out: 'no value'. */
  readonly noValue?: string | undefined;
  /**
   * Directions come and go from row to row with the noise, so that the legend tells of rings without one whether there is
   * one or not: else it would jump. Left out: it tells of those that there are.
   */
  readonly directionsVary?: boolean | undefined;
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

/** What a cell is called that an event did not change, as far as is known. */
export const noChange = 'no change found';

const noDirection = 'no direction';

/** Bottom: with one line of legend; each further one takes `legendLinePx`. */
const margins = { left: 40, right: 12, top: 22, bottom: 52 } as const;
/** From the plate to the middle of the legend's first line, below the axis. */
const toLegendPx = 38;
/** The legend begins below the plate's corner, unless that leaves it less room than this. */
const legendRoomPx = 340;

interface Arrangement {
  readonly frame: PlateFrame;
  readonly spacingPx: number;
  readonly scale: CrossScale;
  readonly bands: readonly Band[];
  readonly named: readonly PlacedName[];
  readonly legend: Legend;
}

/** Height at which the plate fills a drawing of that width, with its whole legend below. */
export function mapHeight(input: Omit<PlateMapInput, 'heightPx'>): number {
  const [widthM, depthM] = input.header.plate.sizeM;
  const plate = ((input.widthPx - margins.left - margins.right) * depthM) / widthM;
  const withLines = (lines: number): number => plate + margins.top + margins.bottom + (lines - 1) * legendLinePx;
  for (let lines = 1; ;) {
    const { legend } = arranged({ ...input, heightPx: withLines(lines) }, lines);
    if (legend.lines <= lines) return withLines(lines);
    lines = legend.lines;
  }
}

/** The larger the legend, the smaller the plate, so the legend is given lines until it fits. */
function arrangement(input: PlateMapInput): Arrangement {
  for (let lines = 1; ;) {
    const found = arranged(input, lines);
    if (found.legend.lines <= lines) return found;
    lines = found.legend.lines;
  }
}

function arranged(input: PlateMapInput, legendLines: number): Arrangement {
  const { header, widthPx, heightPx, pairs } = input;
  const bottom = margins.bottom + (legendLines - 1) * legendLinePx;
  const frame = plateFrame(header.plate.sizeM, widthPx, heightPx, { ...margins, bottom });
  const spacingPx = cellSpacingM(header.cells, header.plate.sizeM) * frame.pxPerM;
  const scale = crossScale(spacingPx, input.largest ?? largestSize(pairs));
  const bands = input.field ? bandsOf(input, frame) : [];
  const named = namesOfCells(input, frame, spacingPx);
  const marks = sickMarkKey(named.map(({ cell }) => markOf(input, cell)).filter((mark) => mark !== ''));
  const lacking = header.cells.some((_, cell) => !hasValue(pairs.find((one) => one.cell === cell)));
  const undirected = pairs.some((one) => hasValue(one) && (input.directionsVary || !Number.isFinite(one.dirDeg)));
  const signs = { marks, noDirection: undirected ? noDirection : '', noValue: lacking ? noValueText(input) : '' };
  const top = frame.topPx + frame.sizeM[1] * frame.pxPerM + toLegendPx;
  const left = Math.max(margins.left, Math.min(frame.leftPx, widthPx - legendRoomPx));
  const legend = mapLegend(input, scale, bands, signs, [left, top], widthPx - left - 4);
  return { frame, spacingPx, scale, bands, named, legend };
}

export function plateMap(input: PlateMapInput): SvgNode {
  const { header, widthPx, heightPx } = input;
  const { frame, spacingPx, scale, bands, named, legend } = arrangement(input);
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
      names(input, frame, scale, named),
      legend.mark,
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
  const { left, top, width, height } = cellBox(x, y, cellReachPx(spacingPx), frame);
  return svg('g', { class: classes.filter(Boolean).join(' '), 'data-cell': index }, [
    svg('title', {}, [[`${cell.name}: ${pairText(pair, input)}`, said].filter((text) => text !== '').join('; ')]),
    svg('rect', { class: 'cell-area', x: left, y: top, width, height, rx: 6 }),
    ...crossMarks(pair, x, y, scale),
  ]);
}

function noValueText({ noValue = 'no value' }: PlateMapInput): string {
  return noValue;
}

function hasValue(pair: PrincipalPair | undefined): pair is PrincipalPair {
  return pair !== undefined && Number.isFinite(pair.first) && Number.isFinite(pair.second);
}

function markOf({ pairs }: PlateMapInput, cell: number): string {
  return sickMark(pairs.find((one) => one.cell === cell)?.sick ?? []);
}

/** The cell with the largest change of the event comes first in it. */
function namesOfCells(input: PlateMapInput, frame: PlateFrame, spacingPx: number): PlacedName[] {
  const { header, event, chosenCell, comparedCell } = input;
  const asked = [chosenCell, comparedCell, event?.cells[0]?.cell];
  const cells = header.cells.map(({ name, xM, yM }, cell) => {
    const [x, y] = toPage(frame, xM, yM);
    return { name, mark: markOf(input, cell), x, y, wanted: asked.includes(cell) };
  });
  return cellNames(cells, cellReachPx(spacingPx), frame);
}

/** Over everything else. */
function names(
  { header, pairs }: PlateMapInput,
  frame: PlateFrame,
  scale: CrossScale,
  ofCells: readonly PlacedName[],
): SvgNode {
  const crosses = pairs.flatMap((pair): Box[] => {
    const cell = header.cells[pair.cell];
    if (!cell) return [];
    const [x, y] = toPage(frame, cell.xM, cell.yM);
    const half = 0.7 * scale.halfPxPerUnit * largestSize([pair]);
    return [{ left: x - half, top: y - half, width: 2 * half, height: 2 * half }];
  });
  const standing = ofCells.map(({ box }) => box);
  const all = [...partNames(header.parts, frame, standing, crosses), ...ofCells];
  return svg(
    'g',
    { class: 'names' },
    all.map(({ mark }) => mark),
  );
}

function crossMarks(pair: PrincipalPair | undefined, x: number, y: number, scale: CrossScale): SvgNode[] {
  if (!hasValue(pair)) return [svg('circle', { class: 'no-value', cx: x, cy: y, r: ringPx })];
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

function pairText(pair: PrincipalPair | undefined, input: PlateMapInput): string {
  const { unitLabel, unitScale } = input;
  if (!hasValue(pair)) return noValueText(input);
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
    svg('title', {}, [`Origin at ${placeText(originM, originSpreadM)}`]),
    svg('path', { class: 'spread', d: circleOnPlate(x, y, radius, frame) }),
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
