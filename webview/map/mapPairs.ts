// What the map draws for each choice of view: one principal pair per cell, with its unit and caption.
import { principalPair, type PrincipalPair } from '../../src/core/display/mapGeometry.ts';
import { quantityOf } from '../../src/core/display/quantities.ts';
import type { PlateState, RosetteState } from '../../src/messages/analysis.ts';
import type { MapView } from '../choices.ts';
import type { StrainEvent } from '../logTypes.ts';

export interface PairView {
  readonly pairs: readonly PrincipalPair[];
  readonly unitLabel: string;
  readonly unitScale: number;
  readonly caption: string;
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

export function isEventView(view: MapView): boolean {
  return view === 'before' || view === 'after' || view === 'difference';
}

/** The plane nearest to what was asked for: a cell without a rosette on `plane` shows its own. */
export function pairsOf(view: MapView, state: PlateState | undefined, plane: number, planeName: string): PairView {
  const on = planeName === '' ? '' : `, plane ${planeName}`;
  if (view === 'moments' || view === 'forces') return plateResultants(view, state);
  const rosettes = (state?.rosettes ?? []).filter((one) => one.plane === plane);
  if (view === 'stress') {
    return {
      ...unitOf('s1'),
      caption: `principal stress${on}`,
      pairs: rosettes.map(({ s1, s2, ...one }) => pairOf(one, s1, s2)),
    };
  }
  return {
    ...unitOf('e1'),
    caption: `principal strain${on}`,
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
  return { ...unitOf('e1'), pairs, caption: `change of strain by the ${event.kind}${on}` };
}

function plateResultants(view: 'moments' | 'forces', state: PlateState | undefined): PairView {
  const pairs = (state?.cells ?? []).map((one) => {
    const [xx, yy, xy] = view === 'moments' ? one.moments : one.forces;
    const sick = state!.rosettes.filter(({ cell }) => cell === one.cell).flatMap((rosette) => rosette.sick);
    return { ...principalPair(one.cell, xx, yy, xy), sick };
  });
  const caption = view === 'moments' ? 'principal bending moments' : 'principal membrane forces';
  return { ...unitOf(view === 'moments' ? 'mx' : 'nx'), pairs, caption };
}

function unitOf(suffix: string): { readonly unitLabel: string; readonly unitScale: number } {
  const quantity = quantityOf(suffix)!;
  return { unitLabel: quantity.unitLabel, unitScale: quantity.scale };
}
