// One break: its members (cells that changed together) -> the event told to the user, with origin, part, kind, evidence
// and a sentence. A pure function, called anew whenever a member changes.
import type { LogHeader } from '../../header/logHeader.ts';
import { carriesTemperature, phases } from '../../header/logHeader.ts';
import type { Severity } from '../../problem.ts';
import { strainLine } from '../../strain/channelStrain.ts';
import { expansionOf, largestPrincipal, mahalanobis3, principalRatio, isotropyOf } from '../confirm/changeShape.ts';
import type { CellChange, Evidence, StrainEvent } from '../events.ts';
import type { ChangeFinding, RosetteChange } from '../findings.ts';
import { breakS } from '../durations.ts';
import { earliest, spanOf } from './incident.ts';
import type { Member } from './incident.ts';
import { isEarly } from './likeChanges.ts';
import { chanceUsual } from '../confirm/measure.ts';
import { kindOf, mayDrift } from './kind.ts';
import type { IncidentFacts, KindVerdict } from './kind.ts';
import { loneCell, loneChange } from './loneChannel.ts';
import { changeEvidence, changeMessage } from './message.ts';
import { fitOrigin, isPlaceKnown } from './origin.ts';
import type { Origin, PlaceChange } from './origin.ts';
import { mayBeCycle } from './rhythm.ts';
import { partAt } from './plateFrame.ts';
import type { PlateFrame } from './plateFrame.ts';

/** When it was told, and under what name; at least one of its members had begun by then. */
export interface IncidentStory {
  readonly id: string;
  readonly detectedRow: number;
  readonly detectedTimeS: number;
}

/** What went on about an incident. */
export interface Surroundings {
  /** The plate's temperature was away from its usual range. */
  readonly heated: boolean;
  /** Cells anywhere on the plate that changed at the same time. */
  readonly together: number;
  /** All channels of most of them changed by the same. */
  readonly shared: boolean;
  /** Whether the cell of a change has changed alike several times before, in a log that tells no layers. */
  comesAgain(finding: ChangeFinding): boolean;
  /** The plate was told to change its temperature, not long ago, by cells that no thermometer serves. */
  readonly drifting: boolean;
  /** The cycle of the layer came at another time than usual, or may have. */
  readonly astray: boolean;
  /** Whether a channel was found wandering not long ago. */
  isSick(channel: number): boolean;
}

/** A neighbour's surprise counts against a sick channel from here on, if it changed by this share of the strongest. */
const neighbourSurprise = 7;
const neighbourShare = 0.1;

export function incidentEvent(
  header: LogHeader,
  frame: PlateFrame,
  members: readonly Member[],
  story: IncidentStory,
  about: Surroundings,
): StrainEvent {
  const sorted = surestFirst(members);
  const strongest = sorted[0]!;
  const { finding } = strongest;
  const rosette = strongestRosette(finding.rosettes);
  const origin = rosette ? originOf(header, frame, sorted, rosette.plane) : undefined;
  const known = factsOf(header, frame, sorted, rosette, origin, about);
  const verdict = kindOf(known);
  const mechanical = verdict.nature === 'mechanical';
  const place = mechanical && origin && isPlaceKnown(origin, header.plate.sizeM) ? origin : undefined;
  const nearest = place && partAt(header.parts, place.xM, place.yM);
  const part = nearest && nearest.distanceM <= place.spreadM ? nearest : undefined;
  const first = earliest(members, story.detectedRow).finding;
  const facts = {
    header,
    verdict,
    strongest: finding,
    size: sizeOf(strongest),
    rosette,
    cells: sorted.map((m) => m.finding.cell),
    plateCells: frame.cells.length,
    together: about.together,
    shared: about.shared,
    early: known.early,
    again: known.again,
    astray: known.astray,
    drifting: mayDrift(known),
    origin,
    part,
    soloEvidence: known.soloEvidence,
    lone: verdict.nature === 'sensor' ? loneChange(header, frame, finding) : undefined,
    endTimeS: strongest.endTimeS,
    layer: first.layer,
  };
  return {
    id: story.id,
    nature: verdict.nature,
    kind: verdict.kind,
    severity: severityOf(verdict),
    sure: verdict.sure,
    row: first.row,
    line: first.line,
    timeS: first.timeS,
    endTimeS: strongest.endTimeS,
    detectedRow: story.detectedRow,
    detectedTimeS: story.detectedTimeS,
    layer: Number.isNaN(first.layer) ? -1 : first.layer,
    cells: verdict.nature === 'sensor' ? [loneCell(header, finding)] : cellChanges(sorted),
    channels: verdict.nature === 'sensor' ? [finding.soloChannel] : [],
    // Those that are sure come first.
    loneChannel: sorted[1]?.confirmed ? -1 : finding.soloChannel,
    originM: place ? [place.xM, place.yM] : [NaN, NaN],
    originSpreadM: place?.spreadM ?? NaN,
    part: part?.name ?? '',
    evidence: changeEvidence(facts) as Evidence[],
    message: changeMessage(facts),
    folded: 0,
  };
}

/** A cell that was sure goes before all that were not, however large their change: they may be there by chance. */
export function surestFirst(members: readonly Member[]): Member[] {
  return [...members].sort(
    (a, b) =>
      Number(b.confirmed) - Number(a.confirmed) ||
      b.finding.sigmas - a.finding.sigmas ||
      a.finding.cell - b.finding.cell,
  );
}

/** What is known of a change, by which its kind is told. `sorted`: the surest first; `rosette`: the strongest of that. */
function factsOf(
  header: LogHeader,
  frame: PlateFrame,
  sorted: readonly Member[],
  rosette: RosetteChange | undefined,
  origin: Origin | undefined,
  about: Surroundings,
): IncidentFacts {
  const strongest = sorted[0]!;
  const { finding } = strongest;
  const witnesses = sorted.filter((m) => testifies(m, strongest));
  return {
    passing: strongest.endRow >= 0,
    ramp: finding.ramp || strongest.grows,
    cells: witnesses.length,
    together: about.together,
    shared: about.shared,
    early: isEarly(finding),
    again: sorted.some((m) => (m === strongest || m.confirmed) && about.comesAgain(m.finding)),
    plateCells: frame.cells.length,
    evenness: evennessOf(sorted),
    soloEvidence: soloOf(witnesses),
    loneChannelSick: about.isSick(finding.soloChannel),
    secondShare: secondShareOf(witnesses),
    isotropy: rosette ? isotropyOf(rosette.change) : NaN,
    principalRatio: rosette ? principalRatio(rosette.change) : NaN,
    widthPitches: origin && sorted.length > 1 ? origin.widthM / frame.pitchM : NaN,
    heatShare: heatShareOf(header, finding, sizeOf(strongest)),
    temperatureNoises: Math.abs(finding.temperatureK) / finding.usualK,
    heated: about.heated,
    outOfRhythm: finding.outOfRhythm,
    sigmas: finding.sigmas,
    gradual: finding.length >= Math.max(gradualSamples, breakS / finding.intervalS),
    slow: finding.spacing > 1,
    spanS: spanOf(strongest) * finding.intervalS,
    unmeasured: Number.isNaN(finding.temperatureK),
    expansion: expansionOf(
      sorted.flatMap((m) => strongestRosette(m.finding.rosettes) ?? []).map(({ change }) => change),
    ),
    drifting: about.drifting,
    astray: about.astray && mayBeCycle(finding),
    phaseKnown: finding.phase >= 0,
    inRecoat: phases[finding.phase] === 'recoat' || phases[strongest.endPhase] === 'recoat',
    poissonsRatio: header.plate.poissonsRatio,
  };
}

/** A jump of a size worth telling is found by shorter blocks than this, or by such as take no longer than it. */
const gradualSamples = 16;

/** Error: mechanical, lasting, sure. Warning: mechanical and brief, or unsure. Information: thermal and sensor. */
function severityOf(verdict: KindVerdict): Severity {
  if (verdict.nature !== 'mechanical') return 'information';
  return verdict.kind === 'strike' || !verdict.natureSure ? 'warning' : 'error';
}

function cellChanges(sorted: readonly Member[]): CellChange[] {
  const changes = sorted.flatMap(({ finding }) =>
    finding.rosettes.map((r): CellChange => {
      const own = mahalanobis3(r.change, r.covariance);
      return {
        cell: finding.cell,
        plane: r.plane,
        change: r.change,
        turnDeg: r.turnDeg,
        turnErrorDeg: r.turnErrorDeg,
        sigmas: Number.isNaN(own) ? finding.sigmas : own,
      };
    }),
  );
  return changes.sort((a, b) => b.sigmas - a.sigmas || a.cell - b.cell || a.plane - b.plane);
}

function strongestRosette(rosettes: readonly RosetteChange[]): RosetteChange | undefined {
  let best: RosetteChange | undefined;
  for (const r of rosettes) {
    if (Number.isNaN(r.change[0])) continue;
    if (!best || largestPrincipal(r.change) > largestPrincipal(best.change)) best = r;
  }
  return best;
}

export function sizeOf({ finding }: Member): number {
  return changeSize(finding);
}

/** What is held against the smallest change worth hearing of, dimensionless. */
export function largestChange(
  header: LogHeader,
  frame: PlateFrame,
  members: readonly Member[],
  { nature }: StrainEvent,
): number {
  const lone = nature === 'sensor' ? loneChange(header, frame, surestFirst(members)[0]!.finding) : undefined;
  return lone ? Math.abs(lone.change) : Math.max(...members.map(sizeOf));
}

/** Largest change of strain along any direction where there is a tensor, else along any channel. */
export function changeSize({ rosettes, delta }: ChangeFinding): number {
  const rosette = strongestRosette(rosettes);
  if (rosette) return largestPrincipal(rosette.change);
  return delta.reduce((most, d) => (Math.abs(d) > most ? Math.abs(d) : most), 0);
}

/** The blade passes within so many samples: a neighbour that was never sure and began before or after those felt no blow. */
const blowRows = 2;

function testifies(member: Member, strongest: Member): boolean {
  if (member.confirmed || strongest.endRow < 0) return true;
  return Math.abs(member.finding.row - strongest.finding.row) <= blowRows;
}

function soloOf(sorted: readonly Member[]): number {
  const [strongest, ...others] = sorted;
  let evidence = strongest!.finding.soloEvidence;
  for (const other of others) {
    if (sizeOf(other) < neighbourShare * sizeOf(strongest!)) continue;
    // Of a blow the neighbours have no time to be sure; of what lasts, one that is not may be there by chance.
    if (!other.confirmed && strongest!.endRow < 0) continue;
    evidence -= 2 * Math.max(0, other.surprise - neighbourSurprise + 1);
  }
  return evidence;
}

/** Surprise from which another cell's share says how far a change reaches. */
const concernedSurprise = 10;

function secondShareOf([strongest, ...others]: readonly Member[]): number {
  const sizes = others.filter((m) => m.surprise >= concernedSurprise).map(sizeOf);
  return sizes.length > 0 ? Math.min(1, Math.max(...sizes) / sizeOf(strongest!)) : 0;
}

function evennessOf(members: readonly Member[]): number {
  const sizes = members.map(sizeOf).sort((a, b) => a - b);
  return sizes[sizes.length >> 1]! / sizes[sizes.length - 1]!;
}

/** A third of a temperature change taken out wrongly: what thermal coefficients are commonly wrong by, at most. */
function heatShareOf(header: LogHeader, { cell, temperatureK, usualK }: ChangeFinding, size: number): number {
  const unusualK = Math.abs(temperatureK) - chanceUsual * usualK;
  const feigned = unusualK * takenOutPerKelvin(header, cell) * 0.33;
  return size > 0 && feigned > 0 ? feigned / size : 0;
}

/** Strain per kelvin that is taken out of a cell's readings, the most of its channels; the plate's expansion at least. */
function takenOutPerKelvin(header: LogHeader, cell: number): number {
  const fibres = header.channels.filter((channel) => channel.cell === cell && !carriesTemperature(channel));
  const taken = fibres.map((channel) => Math.abs(strainLine(channel, header).perKelvin));
  return Math.max(header.plate.thermalExpansionPerK, ...taken);
}

function originOf(header: LogHeader, frame: PlateFrame, sorted: readonly Member[], plane: number): Origin | undefined {
  const places: PlaceChange[] = [];
  const variances: number[][] = [[], [], []];
  const changed = new Set<number>();
  for (const { finding } of sorted) {
    const r = finding.rosettes.find((other) => other.plane === plane);
    changed.add(finding.cell);
    if (!r || Number.isNaN(r.change[0])) continue;
    const variance = [r.covariance[0], r.covariance[1], r.covariance[2]] as const;
    variance.forEach((v, k) => variances[k]!.push(v));
    places.push({ xM: frame.xM[finding.cell]!, yM: frame.yM[finding.cell]!, change: r.change, variance });
  }
  if (places.length === 0) return undefined;
  // A cell that said nothing changed by less than it takes to say something: about twice the error of one that did.
  const silent = variances.map((v) => 4 * [...v].sort((a, b) => a - b)[v.length >> 1]!) as [number, number, number];
  for (const cell of frame.cells) {
    if (changed.has(cell)) continue;
    places.push({ xM: frame.xM[cell]!, yM: frame.yM[cell]!, change: [0, 0, 0], variance: silent });
  }
  return fitOrigin(places, { pitchM: frame.pitchM, sizeM: header.plate.sizeM });
}
