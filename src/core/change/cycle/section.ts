// The section of the part that a layer exposes. Where a part begins or ends, the exposure lasts longer or shorter from one
// layer to the next, and the cycle of the layer is another: what was learned of it is a guess. Times in seconds.
import { phases } from '../../header/logHeader.ts';
import type { CycleState } from './cycle.ts';
import { memoryLayers } from './cycleMemory.ts';

export interface SectionState {
  /** Per kind of phase, by how much its length strays from the usual. */
  readonly strayS: Float64Array;
  /** Factor (>= 1) by which distances are larger while the cycle is that of another section than it was learned from. */
  unfamiliar: number;
  /** Layers up to the one in which the section became another; 0 where it has been the same. */
  began: number;
}

export function newSection(phases: number): SectionState {
  return { strayS: new Float64Array(phases), unfamiliar: 1, began: 0 };
}

/** Layers up to which the cycle has not been learned over its whole memory. */
export function youngUntil({ began }: SectionState): number {
  return Math.max(memoryLayers, began + memoryLayers - guessVisits);
}

/** A phase's usual length is the mean of about so many. */
const usualPhases = 4;
/** Lengths this far apart are those of different sections, beside so many samples, and so many times what lengths stray. */
const sectionShare = 1.25;
const sectionSamples = 4;
const sectionStrays = 4;
/** Layers that a guess counts for. */
const guessVisits = 3;
/** Distances, squared, in the first layer of another section against the usual ones, as after a stop of the laser. */
const sectionUnrest = 6;

const expose = phases.indexOf('expose');

/** Takes in the length of a phase that has ended; the cycle is a guess again where it says that the section is another. */
export function notePhaseLength(cycle: CycleState, phase: number, lastedS: number, intervalS: number): void {
  const { usualS } = cycle;
  const { strayS } = cycle.section;
  const usual = usualS[phase]!;
  if (usual !== usual) {
    usualS[phase] = lastedS;
    return;
  }
  const stray = Math.abs(lastedS - usual);
  const exposed = cycle.phases <= 1 || phase === expose;
  const isOther = exposed && isOtherSection(lastedS, usual, strayS[phase]!, intervalS);
  strayS[phase] = strayS[phase]! + (stray - strayS[phase]!) / usualPhases;
  usualS[phase] = isOther ? lastedS : usual + (lastedS - usual) / usualPhases;
  if (isOther) guessAgain(cycle);
}

function isOtherSection(lastedS: number, usual: number, strayS: number, intervalS: number): boolean {
  const [less, more] = lastedS < usual ? [lastedS, usual] : [usual, lastedS];
  return more > sectionShare * less + sectionSamples * intervalS && more - less > sectionStrays * strayS;
}

function guessAgain(cycle: CycleState): void {
  const { visits, section, layers } = cycle;
  visits.forEach((count, place) => (visits[place] = Math.min(count, guessVisits)));
  section.unfamiliar = sectionUnrest;
  section.began = layers;
}
