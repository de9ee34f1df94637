// The rhythm of the build. Where a part of the layer takes longer or shorter than usual, or the laser stops, the cycle of
// what follows comes early or late in all cells that feel it. Each sees a change, and each change leads to another place of
// its own cycle; a break leads to where no cycle is, and one cell that it leads near by chance is not two. Until the cells
// have learned the other rhythm, what their cycle could do is no sure break. Plain data: part of the plate stage's state.
import type { ChangeFinding } from '../findings.ts';
import type { Gathering } from './incident.ts';

/** When cells last told their cycle at another time: the row, the layer, and the first of the layers since which they did. */
export interface Rhythm {
  readonly row: number;
  readonly fromLayer: number;
  readonly layer: number;
}

export const inRhythm: Rhythm = { row: NaN, fromLayer: NaN, layer: NaN };

/** Less than half of a change is left, squared. */
const leftShare = 0.25;
/** Cells, each of its own cycle. */
const fewestCells = 2;
/** A place of the cycle that is another now has been seen so often after these layers that it outweighs a guess. */
const learnedAgain = 3;

/** What cells that changed together tell is their cycle, at another time than usual. */
export function isOutOfTime({ members }: Gathering): boolean {
  const known = members.filter(({ finding }) => finding.cycleLeft === finding.cycleLeft);
  if (known.filter(({ finding }) => finding.cycleLeft < leftShare).length < fewestCells) return false;
  const squared = known.reduce((sum, { finding }) => sum + finding.sigmas ** 2, 0);
  return known.reduce((sum, { finding }) => sum + finding.cycleLeft * finding.sigmas ** 2, 0) < leftShare * squared;
}

/** What is known of the rhythm once these cells have changed together. */
export function rhythmAfter(before: Rhythm, gathering: Gathering): Rhythm {
  const { row, layer } = gathering.members[0]!.finding;
  if (row <= before.row || !isOutOfTime(gathering)) return before;
  return { row, layer, fromLayer: isAstray(before, gathering) ? before.fromLayer : layer };
}

/** The cycle may come at another time than the cells have learned. In the layer before, too: it may have ended so. */
export function isAstray(rhythm: Rhythm, { members: [first] }: Gathering): boolean {
  const layer = first?.finding.layer ?? NaN;
  return layer >= rhythm.fromLayer - 1 && layer <= rhythm.layer + learnedAgain;
}

/**
 * Whether the cycle of the cell could have done as much, whatever its time: no two of its places are farther apart than twice
 * the farthest from where the cell should be.
 */
export function mayBeCycle({ cycleLeft, cycleReach }: ChangeFinding): boolean {
  return !(cycleLeft > leftShare && 2 * cycleReach < 1);
}
