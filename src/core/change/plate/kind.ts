// From the facts of one incident to its nature and kind, and how sure that is. Every rule compares log-odds; the facts
// come as numbers and go into the event's evidence.
import type { EventKind, EventNature } from '../events.ts';
import { eventKinds } from '../events.ts';

export interface IncidentFacts {
  /** The change went back. */
  readonly passing: boolean;
  /** It grew steadily instead of jumping. */
  readonly ramp: boolean;
  /** Cells that changed. */
  readonly cells: number;
  /** Cells anywhere on the plate that changed at the same time. */
  readonly together: number;
  /** All channels of most of them changed by the same. */
  readonly shared: boolean;
  /** The log tells no layers and has not gone on for long: a cycle of the build would look the same. */
  readonly early: boolean;
  /** It tells no layers, and a cell of these has changed alike several times before: so does a cycle of the build. */
  readonly again: boolean;
  /** Cells of the plate that measure. */
  readonly plateCells: number;
  /** Middle size of the cells' changes over the largest: near 1 where all changed alike. */
  readonly evenness: number;
  /** Twice the log of the odds that one channel alone moved, neighbours counted; NaN where it cannot be told. */
  readonly soloEvidence: number;
  /** The channel that would be has been found wandering not long ago. */
  readonly loneChannelSick: boolean;
  /** Change of the second strongest cell over that of the strongest; 0 where no other cell was clearly concerned. */
  readonly secondShare: number;
  /** Share of the change that is the same in all directions, 0 to 1; NaN without a tensor. */
  readonly isotropy: number;
  /** Smaller over larger principal change at the strongest cell, -1 to 1; NaN without a tensor. */
  readonly principalRatio: number;
  /** Width of the pattern in pitches; NaN where not fitted. */
  readonly widthPitches: number;
  /** Strain that a temperature change of the size seen would feign if a third of it were wrongly taken out, over the change. */
  readonly heatShare: number;
  /** Size of the temperature's change over what such a difference usually is; NaN where nothing measures it. */
  readonly temperatureNoises: number;
  /** The plate's temperature was away from its usual range just then. */
  readonly heated: boolean;
  /** The laser had stopped, or had not been on again for long. */
  readonly outOfRhythm: boolean;
  /** The change at the strongest cell over its own noise. */
  readonly sigmas: number;
  /** Only a long block spoke first at the strongest cell. */
  readonly gradual: boolean;
  /** Only means of rows showed it, not the rows themselves. */
  readonly slow: boolean;
  /** Seconds within which the change of the strongest cell came. */
  readonly spanS: number;
  /** No thermometer serves the strongest cell. */
  readonly unmeasured: boolean;
  /** Share of the changes of all cells together that is one expansion of the same sign, 0 to 1. */
  readonly expansion: number;
  /** The plate was told to change its temperature, not long ago, by cells that no thermometer serves. */
  readonly drifting: boolean;
  /** The cycle of the layer came at another time than usual just then, and could have made the change. */
  readonly astray: boolean;
  readonly phaseKnown: boolean;
  readonly inRecoat: boolean;
  readonly poissonsRatio: number;
}

export interface KindVerdict {
  readonly nature: EventNature;
  readonly kind: EventKind;
  readonly sure: boolean;
  /** Whether it is the metal, and local, is sure, even if the kind is not: release and crack can look alike. */
  readonly natureSure: boolean;
}

/** Odds of e to the first half of this: below, the kind is called unsure. */
const clearEvidence = 4;
/** A change this equal in all directions, with temperature to match, is heat. */
const isotropic = 0.8;

/** A small crack along a fibre moves that fibre most: for a lasting jump of the channel more has to speak. */
const lastingJump = 5;

/** A plate that slips moves its cells within a factor of three of each other, by half of them at least. */
const alike = 1 / 3;

export function kindOf(facts: IncidentFacts): KindVerdict {
  if (facts.soloEvidence > (facts.ramp || facts.passing || tooLarge(facts) ? 0 : lastingJump)) {
    const kind = facts.passing ? 'spike' : facts.ramp ? 'wander' : 'jump';
    return verdict(kind, facts.soloEvidence > clearEvidence);
  }
  if (facts.loneChannelSick && facts.soloEvidence > -sickChannelOdds) return verdict('wander', false);
  if (thermal(facts)) return verdict('heat', facts.heatShare >= 2);
  const metal = !(facts.soloEvidence > -clearEvidence);
  const cyclic = facts.early || facts.again || facts.astray;
  // What crept up in one cell, and may have been one channel only, is more often the channel.
  const alone = facts.secondShare === 0;
  if (!metal && alone && (facts.ramp || facts.gradual)) return verdict('wander', false);
  // A blow is over within rows: what swells and goes in minutes is heat.
  if (facts.passing && facts.slow) return verdict('heat', false);
  // The blade strikes while it moves; what comes and goes in the metal at another time is its heat.
  if (facts.passing && facts.phaseKnown && !facts.inRecoat && facts.cells > 1) return verdict('heat', false);
  if (facts.passing && facts.cells === 1 && facts.phaseKnown && !facts.inRecoat) return verdict('spike', false);
  // A blow that one cell alone felt moves its channels as none of them could alone, even with another wild one beside it.
  if (facts.passing && alone && !(facts.soloEvidence < -loneBlow)) return verdict('spike', false);
  if (facts.passing)
    return verdict('strike', metal && !cyclic && (facts.inRecoat || (facts.cells > 1 && isLocal(facts))));
  // What comes slowly in metal comes in more than one cell.
  const clear = metal && !cyclic && !(facts.slow && alone) && !mayDrift(facts);
  if (facts.ramp) return verdict('creep-off', clear);
  const local = isLocal(facts);
  const crack = crackEvidence(facts);
  const kind = crack > 0 ? 'crack' : 'release';
  return { ...verdict(kind, clear && local && Math.abs(crack) > 1), natureSure: clear && local };
}

/**
 * Everything at once and alike is the mounting or the instrument rather than a part. A gross break is felt far, but falls
 * off from its own place: it is not several places that change at the same time.
 */
function isLocal({ plateCells, cells, together, shared, evenness }: IncidentFacts): boolean {
  if (shared) return false;
  return !isCommon(plateCells, together) || (cells > together / 2 && evenness < alike);
}

/** Whether so many cells at the same time are most of a plate. */
export function isCommon(plateCells: number, together: number): boolean {
  return plateCells >= 4 && together > mostShare * plateCells;
}

/** The metal carries a change so large to the next cells: where none of them was clearly concerned, it is the channel. */
function tooLarge({ sigmas, plateCells, secondShare }: IncidentFacts): boolean {
  return sigmas > farFelt && plateCells >= 4 && secondShare < nextShare;
}

const farFelt = 30;

/** A channel known to wander is the likelier cause of what its cell does alone, by odds of e to half of this. */
const sickChannelOdds = 10;

/** Twice the log of the odds against one channel from which a passing change of one cell is its metal's. */
const loneBlow = 10;

function thermal(facts: IncidentFacts): boolean {
  const { heatShare, temperatureNoises, isotropy, heated, outOfRhythm } = facts;
  const { cells, together, plateCells, evenness, sigmas, gradual } = facts;
  if (heatShare >= (heated ? 1 / 3 : 1) && isotropy >= isotropic) return true;
  // A change that is little beside what the temperature does is what is left of that, whatever its directions.
  if (heatShare >= (heated || outOfRhythm ? 1 : overwhelming)) return true;
  // A thermometer that lags leaves some of a fast change of temperature in the strain, much the same in all directions.
  if (heatShare >= laggingShare && isotropy >= roundedIsotropy) return true;
  if (heatShare >= laggingShare / 2 && isotropy >= 0.5 * (1 + isotropic)) return true;
  // What comes slowly over most of a plate, alike and the same in all directions, is temperature that nothing measures.
  const common = plateCells >= manyCells && together >= mostShare * plateCells && gradual;
  if (common && evenness >= evenShare && isotropy >= roundedIsotropy) return true;
  const sudden = !facts.ramp && facts.spanS < heatS;
  if (facts.unmeasured && expands(facts, sudden)) return true;
  // Heat crosses a plate in seconds at the soonest: what was there at once is not the cooling of one without its laser.
  if (sudden) return false;
  // Without its laser the plate cools, and warms again, as a whole; but not by so much that no thermometer sees it.
  if (sigmas >= grossSigmas) return false;
  const wide = cells > 1 && cells >= wideShare * plateCells;
  // The temperature moved with it as it never does by chance: whatever the expansion taken out, that is no coincidence.
  if (temperatureNoises >= noChance && cells > 1 && isotropy >= roundedIsotropy) return true;
  if (temperatureNoises >= 2 * noChance && wide) return true;
  if (outOfRhythm && isotropy >= isotropic) return true;
  return isotropy >= roundedIsotropy && (wide ? outOfRhythm || heated : outOfRhythm && heated);
}

/**
 * Whether the plate expands or contracts as a whole, by heat that nothing measures: strain that a break lets go does not.
 * Once it is told to, a part of it will do.
 */
function expands(facts: IncidentFacts, sudden: boolean): boolean {
  const { plateCells, together, ramp, slow, gradual, outOfRhythm, expansion } = facts;
  if (isCommon(plateCells, together) && (ramp || slow || gradual || outOfRhythm) && expansion >= oneExpansion)
    return true;
  return !sudden && mayDrift(facts);
}

/** However sudden: it is what a plate whose temperature nothing measures does while that changes. */
export function mayDrift({ drifting, isotropy, expansion }: IncidentFacts): boolean {
  return drifting && isotropy >= roundedIsotropy && expansion >= roundedIsotropy;
}

/** What is common to the plate: on a plate of so many cells, so much of it, alike to a half, and found only by long blocks. */
const manyCells = 8;
const mostShare = 0.6;
const evenShare = 0.5;
/** Share of all changes from which on they are one expansion: of changes that a break spreads both ways, half at most is. */
const oneExpansion = 0.7;
/** Seconds in which heat crosses some 20 mm of aluminium, the quickest metal of plates: square of the length over the diffusivity. */
const heatS = 5;

/** A change of temperature of so many of its usual ones comes with a reason. */
const noChance = 5;
/** A change of so many noises is no matter of a laser that stopped. */
const grossSigmas = 40;
const overwhelming = 3;
const laggingShare = 1 / 3;
const wideShare = 0.3;
const roundedIsotropy = 0.6;

/**
 * A Gaussian patch within half a pitch is felt at the four cells next to it by an eighth at most and at the diagonal ones by a
 * fiftieth: each further cell speaks against a crack, by odds of e to this.
 */
const nearCells = 5;
const farEvidence = 1.5;

/**
 * A crack lets go the stress across it only: uniaxial, principal changes in the ratio -nu, and stays local. A support that
 * lets go frees stress both ways. Log-odds from the ratio (normal scatter of a third about -nu and about +1/2, the ratio of
 * the two-way shrinkage of layers scanned in turns) and from the width (cracks: within half a pitch).
 */
function crackEvidence(facts: IncidentFacts): number {
  const { principalRatio: ratio, poissonsRatio: nu } = facts;
  if (Number.isNaN(ratio)) return facts.cells <= 1 ? 0.5 : -1.5;
  const scatter = 1 / 3;
  const byRatio = 0.5 * (((ratio - 0.5) / scatter) ** 2 - ((ratio + nu) / scatter) ** 2);
  const byWidth = Number.isNaN(facts.widthPitches) ? 0 : Math.log(0.5 / Math.max(0.1, facts.widthPitches));
  return byRatio + byWidth + reachEvidence(facts) - farEvidence * Math.max(0, facts.cells - nearCells);
}

/** Log-odds from what the next cell felt: an eighth of the change and more is beyond a crack's reach, nothing at all within it. */
function reachEvidence({ plateCells, secondShare }: IncidentFacts): number {
  if (plateCells < 4) return 0;
  if (secondShare === 0) return clearReach;
  return Math.max(-2 * clearReach, Math.min(0, clearReach * Math.log(nextShare / secondShare)));
}

const clearReach = 1.5;
const nextShare = 1 / 8;

function verdict(kind: EventKind, sure: boolean): KindVerdict {
  for (const nature of ['mechanical', 'thermal', 'sensor'] as const) {
    if ((eventKinds[nature] as readonly EventKind[]).includes(kind)) return { nature, kind, sure, natureSure: sure };
  }
  throw new Error(`no nature has the kind ${kind}`);
}
