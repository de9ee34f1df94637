// What the map draws for each choice of view: one principal pair per cell, with its unit and caption.
import { principalPair, type PrincipalPair } from '../../src/core/display/map/mapGeometry.ts';
import { noChange } from '../../src/core/display/map/svgMap.ts';
import { quantityOf, shownUnit } from '../../src/core/display/quantities.ts';
import type { CellState, PlateState, RosetteState } from '../../src/messages/analysis.ts';
import type { MapView } from '../choices.ts';
import type { StrainEvent } from '../logTypes.ts';

export interface PairView {
  readonly pairs: readonly PrincipalPair[];
  readonly unitLabel: string;
  readonly unitScale: number;
  /** A value as answered for a series = value of a pair * this. */
  readonly askedScale: number;
  readonly caption: string;
  /** What positive and negative values are called, where that is not tension and compression. */
  readonly senses?: readonly [string, string];
  /** Each row decides whether a cell has a direction. */
  readonly directionsVary?: boolean;
  /** What a cell without a pair is called, where that is not that it has no value. */
  readonly noValue?: string;
}

export const mapViews: readonly { readonly value: MapView; readonly text: string }[] = [
  { value: 'strain', text: 'principal strain' },
  { value: 'stress', text: 'principal stress' },
  { value: 'moments', text: 'bending moments' },
  { value: 'forces', text: 'membrane forces' },
  { value: 'difference', text: 'change of the event' },
  { value: 'before', text: 'before the event' },
  { value: 'after', text: 'after the event' },
];

/** Views of the whole thickness: they have no plane. */
export function isThroughThickness(view: MapView): boolean {
  return view === 'moments' || view === 'forces';
}

export function isEventView(view: MapView): boolean {
  return view === 'before' || view === 'after' || view === 'difference';
}

/** ', before the release' for a view of the row that the event settles, wherever the cursor is; '' for all others. */
export function besideEvent(view: MapView, event: StrainEvent | undefined): string {
  return event && (view === 'before' || view === 'after') ? `, ${view} the ${event.kind}` : '';
}

/** Of a cell without a rosette on `plane` there is no pair. `event`: which the views before and after are about. */
export function pairsOf(
  view: MapView,
  state: PlateState | undefined,
  plane: number,
  planeName: string,
  event?: StrainEvent,
): PairView {
  const on = planeName === '' ? '' : `, plane ${planeName}`;
  if (view === 'moments') return plateResultants(state, 'mx', ({ moments }) => moments, momentTexts);
  if (view === 'forces') return plateResultants(state, 'nx', ({ forces }) => forces, forceTexts);
  const rosettes = (state?.rosettes ?? []).filter((one) => one.plane === plane);
  if (view === 'stress') {
    return {
      ...unitOf('s1'),
      directionsVary: true,
      caption: `principal stress${on}`,
      pairs: rosettes.map(({ s1, s2, ...one }) => pairOf(one, s1, s2)),
    };
  }
  return {
    ...unitOf('e1'),
    directionsVary: true,
    caption: `principal strain${on}${besideEvent(view, event)}`,
    pairs: rosettes.map(({ e1, e2, ...one }) => pairOf(one, e1, e2)),
  };
}

function pairOf(of: Omit<RosetteState, 'e1' | 'e2' | 's1' | 's2'>, first: number, second: number): PrincipalPair {
  const { cell, dirDeg, dirErrorDeg, sick } = of;
  return { cell, first, second, dirDeg, dirErrorDeg, sick };
}

/** The change that an event made, cell by cell. */
export function changePairs(event: StrainEvent, plane: number, planeName: string): PairView {
  const pairs = event.cells
    .filter((one) => one.plane === plane || one.plane < 0)
    .filter(({ change }) => change.every(Number.isFinite))
    .map(({ cell, change: [ex, ey, gxy] }) => principalPair(cell, ex, ey, gxy / 2));
  const on = planeName === '' ? '' : `, plane ${planeName}`;
  return { ...unitOf('e1'), pairs, caption: `change of strain by the ${event.kind}${on}`, noValue: noChange };
}

/** A positive moment stretches the top (src/core/strain/plates.ts): it is no tension, nor its opposite a compression. */
const momentTexts = {
  caption: 'principal bending moments',
  senses: ['top in tension', 'bottom in tension'],
} as const;
const forceTexts = { caption: 'principal membrane forces' } as const;

function plateResultants(
  state: PlateState | undefined,
  suffix: string,
  of: (cell: CellState) => readonly [number, number, number],
  texts: Pick<PairView, 'caption' | 'senses'>,
): PairView {
  const pairs = (state?.cells ?? []).map((one) => {
    const sick = state!.rosettes.filter(({ cell }) => cell === one.cell).flatMap((rosette) => rosette.sick);
    return { ...principalPair(one.cell, ...of(one)), sick };
  });
  return { ...unitOf(suffix), ...texts, pairs };
}

function unitOf(suffix: string): Pick<PairView, 'unitLabel' | 'unitScale' | 'askedScale'> {
  const quantity = quantityOf(suffix)!;
  const { unit } = shownUnit(quantity);
  return { unitLabel: unit.unitLabel, unitScale: unit.scale, askedScale: quantity.scale };
}
