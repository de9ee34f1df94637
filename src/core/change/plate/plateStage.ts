// The watch over the whole plate: findings of all cells in, events out. Cells that changed together are one incident;
// evidence of neighbours is pooled, so that a change too small for any one cell is still told; an event is revised as
// more becomes known of it. Works through findings in the order (row known, cell) and never by calls, so the chunking
// cannot matter. Metres, seconds, strain dimensionless.
import type { LogHeader } from '../../header/logHeader.ts';
import { carriesTemperature } from '../../header/logHeader.ts';
import type { CellLayout } from '../../strain/layout.ts';
import { judgeFelt, takeFelt, tellSpike, yieldToChange } from './blows.ts';
import type { Blow } from './blows.ts';
import { convinces, noGatherings, pooledOf, tailAfter } from './conviction.ts';
import type { TogetherTail } from './conviction.ts';
import type { StrainEvent } from '../events.ts';
import type { CellFinding, ChangeFinding, SensorFinding } from '../findings.ts';
import { foldIntoHeat, inHeat, tellHeat } from './heatEvents.ts';
import type { HeatPeriod } from './heatEvents.ts';
import { addEvent, countAgain, newLedger, reviseEvent, shownEvents } from './ledger.ts';
import type { LedgerState } from './ledger.ts';
import { incidentEvent, largestChange, sizeOf, surestFirst } from './incidentEvent.ts';
import type { IncidentStory, Surroundings } from './incidentEvent.ts';
import { isCommon } from './kind.ts';
import { isShared } from './incident.ts';
import type { Gathering, Member, Told } from './incident.ts';
import { homeOf, leave, swings } from './homes.ts';
import { comesAgain, noteTold, rememberChange, toldAlike } from './likeChanges.ts';
import type { PastChanges } from './likeChanges.ts';
import { newMember, update } from './member.ts';
import { copyPlain } from '../plain.ts';
import { driftAfter, isWithin, noDrift } from './plateDrift.ts';
import type { PlateDrift } from './plateDrift.ts';
import { plateFrame } from './plateFrame.ts';
import type { PlateFrame } from './plateFrame.ts';
import { peaksOf } from './pooling.ts';
import { forgetSpikesOf, noSpikes } from './usualSpikes.ts';
import type { PastSpikes } from './usualSpikes.ts';
import { rowsPerMean } from '../cell/slowMeans.ts';
import { inRhythm, isAstray, isOutOfTime, rhythmAfter } from './rhythm.ts';
import type { Rhythm } from './rhythm.ts';
import { countSpike, tellSensor } from './sensorEvents.ts';
import { isCounted, takeBack, toldSoFar } from './told.ts';

export interface PlateStageState {
  queue: CellFinding[];
  gatherings: Gathering[];
  ledger: LedgerState;
  heat: HeatPeriod[];
  /** The last spikes that began together. */
  blow: Blow | undefined;
  spikes: PastSpikes;
  /** Rows at which channels were told to wander, by header channel. */
  wandered: Record<number, number>;
  past: PastChanges;
  together: TogetherTail;
  /** When the plate last changed its temperature, where nothing measures it. */
  drift: PlateDrift;
  rhythm: Rhythm;
}

/** A channel that wandered is suspected for so many rows. */
const wanderRows = 8192;

/** A gathering is closed when nothing was heard of it for so many rows: later than a return or the next part of a ramp can come. */
const closedAfterRows = 260;

export class PlateStage {
  readonly #header: LogHeader;
  readonly #frame: PlateFrame;
  readonly #thermometers: number;
  #state: PlateStageState;
  /** Gatherings that the row at hand changed, with the last finding that did; empty between rows. */
  #changed = new Map<Gathering, CellFinding>();

  constructor(header: LogHeader, layouts: readonly CellLayout[]) {
    this.#header = header;
    this.#frame = plateFrame(header, layouts);
    this.#thermometers = header.channels.filter(carriesTemperature).length;
    this.#state = {
      queue: [],
      gatherings: [],
      ledger: newLedger(),
      heat: [],
      blow: undefined,
      spikes: noSpikes(),
      wandered: {},
      past: {},
      together: noGatherings,
      drift: noDrift,
      rhythm: inRhythm,
    };
  }

  static restore(header: LogHeader, layouts: readonly CellLayout[], saved: PlateStageState): PlateStage {
    const stage = new PlateStage(header, layouts);
    stage.#state = copyPlain(saved);
    return stage;
  }

  save(): PlateStageState {
    return copyPlain(this.#state);
  }

  /** Findings in any order, as long as none is older than a row already advanced to. */
  push(findings: readonly CellFinding[]): void {
    for (const finding of findings) this.#state.queue.push(finding);
  }

  /** Every finding known by `row` has been pushed. */
  advance(row: number): void {
    const { queue } = this.#state;
    if (queue.length === 0) return;
    queue.sort((a, b) => a.knownRow - b.knownRow || a.cell - b.cell);
    let done = 0;
    for (; done < queue.length && queue[done]!.knownRow <= row; done++) {
      const finding = queue[done]!;
      this.#take(finding);
      const next = queue[done + 1];
      // What a sensor finding says is taken after what was known before it.
      if (next?.knownRow !== finding.knownRow || next.what !== 'change') this.#judgeChanged();
      const { blow, ledger } = this.#state;
      if (blow && next?.knownRow !== finding.knownRow)
        judgeFelt(this.#header, this.#frame, ledger, blow, finding.knownRow);
    }
    queue.splice(0, done);
  }

  finish(): void {
    this.advance(Infinity);
  }

  /** All events as known now, in the order in which they were detected. */
  events(): readonly StrainEvent[] {
    return shownEvents(this.#state.ledger, this.#header.detection);
  }

  #take(finding: CellFinding): void {
    switch (finding.what) {
      case 'change':
        this.#change(finding);
        break;
      case 'spike':
        if (finding.chatters) countSpike(this.#state.ledger, finding);
        else this.#tellSpike(finding);
        break;
      case 'blow':
        this.#state.blow = takeFelt(this.#state.blow, finding);
        break;
      case 'dropout':
      case 'stuck':
      case 'wander':
        // What is left of a channel without its spikes is believed.
        if (finding.what === 'wander' && !finding.chatters)
          this.#state.wandered[finding.channels[0]!] = finding.knownRow;
        if (finding.chatters) forgetSpikesOf(this.#state.spikes, finding.channels[0]!);
        tellSensor(this.#header, this.#state.ledger, finding);
        break;
      case 'heat':
        tellHeat(this.#header, this.#state.ledger, this.#state.heat, this.#thermometers, finding);
        // What was told a moment ago may have been the beginning of it.
        for (const gathering of this.#state.gatherings) this.#changed.set(gathering, finding);
        break;
      default:
        break;
    }
  }

  #tellSpike(finding: SensorFinding): void {
    const state = this.#state;
    state.blow = tellSpike(this.#header, this.#frame, state.ledger, state.blow, state.spikes, finding);
  }

  #change(finding: ChangeFinding): void {
    const state = this.#state;
    rememberChange(state.past, finding);
    this.#close(finding);
    const home = homeOf(this.#frame, state.gatherings, finding);
    if (!home) return;
    const { gathering, member, grows, left } = home;
    if (!state.gatherings.includes(gathering)) state.gatherings.push(gathering);
    gathering.lastRow = finding.knownRow;
    if (member && grows) member.grows = true;
    if (member) update(member, finding);
    else gathering.members.push(newMember(finding));
    this.#changed.set(gathering, finding);
    if (left) this.#changed.set(left, finding);
    if (finding.stage === 'returned' && swings(state.gatherings, gathering, finding)) leave(gathering, finding);
  }

  /** Closes the gatherings of which nothing has been heard for long. */
  #close({ knownRow, intervalS }: ChangeFinding): void {
    const state = this.#state;
    const isOpen = (g: Gathering): boolean => knownRow - g.lastRow <= closedAfterRows * rowsPerMean(intervalS);
    if (state.gatherings.every(isOpen)) return;
    for (const one of state.gatherings) if (!isOpen(one)) state.together = tailAfter(state.together, one);
    state.gatherings = state.gatherings.filter(isOpen);
  }

  /** Once a row, not once a finding: where the whole plate changes, each would fit all cells again. */
  #judgeChanged(): void {
    const { blow, ledger } = this.#state;
    for (const [gathering, news] of this.#changed) {
      this.#judge(gathering, news);
      // Later on no change is told that began with it.
      if (blow && news.knownRow - blow.row <= closedAfterRows) yieldToChange(ledger, blow);
    }
    // A map that is cleared again and again keeps all that ever was in it until the heap is tidied as a whole.
    if (this.#changed.size > 0) this.#changed = new Map();
  }

  /** Splits a gathering into breaks and tells, revises or withdraws their events. */
  #judge(gathering: Gathering, news: CellFinding): void {
    const { ledger } = this.#state;
    const { members } = gathering;
    if (members.length === 0) {
      for (const told of gathering.told) takeBack(ledger, told);
      this.#state.gatherings = this.#state.gatherings.filter((g) => g !== gathering);
      return;
    }
    gathering.astray ||= isOutOfTime(gathering) || isAstray(this.#state.rhythm, gathering);
    const about = this.#surroundings(gathering, news);
    const matched = new Set<Told>();
    const parts = this.#partsOf(gathering, about, news);
    if (parts.length > 0) this.#noteRhythm(gathering, news);
    for (const { part, told, event } of parts) {
      const size = largestChange(this.#header, this.#frame, part, event);
      if (event.nature === 'thermal') this.#noteDrift(members, news);
      if (told) {
        // What the plate's temperature explains is told as that excursion already, and counted in it.
        if (about.heated && event.nature === 'thermal') {
          foldIntoHeat(ledger, this.#state.heat, event.row);
          continue;
        }
        // So is a part of what most of the plate does, where nothing measures that.
        if (about.drifting && event.nature === 'thermal' && !isCommon(this.#frame.cells.length, members.length))
          continue;
        matched.add(told);
        if (isCounted(told)) noteTold(this.#state.past, part, told.countedIn);
        else reviseEvent(ledger, told.slot, event, size);
      } else {
        const { cell, outOfRhythm } = strongest(part).finding;
        const cooling = this.#thermometers > 0 && outOfRhythm;
        if ((about.heated || about.drifting || cooling) && event.nature === 'thermal') continue;
        const { detectedRow, detectedTimeS } = event;
        const countedIn = this.#countAgain(part, event);
        const added = countedIn < 0 ? addEvent(ledger, this.#header, event, cell, size) : { slot: -1, id: '' };
        const fresh: Told = { detectedRow, detectedTimeS, ...added, cell, countedIn };
        noteTold(this.#state.past, part, countedIn < 0 ? added.slot : countedIn);
        gathering.told.push(fresh);
        matched.add(fresh);
      }
    }
    for (const told of gathering.told) if (!matched.has(told)) takeBack(ledger, told);
    gathering.told = gathering.told.filter((t) => matched.has(t));
  }

  /** Place of the event in which a new one that comes again is counted; -1 where it is to be told by itself. */
  #countAgain(part: readonly Member[], { nature, severity, line }: StrainEvent): number {
    if (nature !== 'mechanical' || severity === 'error') return -1;
    const slots = toldAlike(this.#state.past, surestFirst(part));
    return slots.find((slot) => countAgain(this.#state.ledger, slot, line)) ?? -1;
  }

  #surroundings({ members, astray }: Gathering, { knownRow }: CellFinding): Surroundings {
    const { heat, past, drift, wandered } = this.#state;
    const { row } = members[0]!.finding;
    return {
      heated: inHeat(heat, row),
      together: members.length,
      shared: isShared(members.map(({ finding }) => finding)),
      comesAgain: (finding) => comesAgain(past, finding),
      drifting: isWithin(drift, row),
      astray,
      isSick: (channel) => knownRow - (wandered[channel] ?? -Infinity) <= wanderRows,
    };
  }

  /** What was told a moment ago may have been part of a drift that is known only now. */
  #noteDrift(members: readonly Member[], news: CellFinding): void {
    const state = this.#state;
    const before = state.drift;
    state.drift = driftAfter(before, this.#frame, members, news);
    if (state.drift.fromRow === before.fromRow) return;
    this.#judgeAgain(({ members: [first] }) => !!first && isWithin(state.drift, first.finding.row), news);
  }

  /** What was told in these layers a moment ago may have been the cycle, too. */
  #noteRhythm(judged: Gathering, news: CellFinding): void {
    const state = this.#state;
    const before = state.rhythm;
    state.rhythm = rhythmAfter(before, judged);
    if (state.rhythm !== before) this.#judgeAgain((other) => !other.astray && isAstray(state.rhythm, other), news);
  }

  #judgeAgain(isConcerned: (gathering: Gathering) => boolean, news: CellFinding): void {
    for (const gathering of this.#state.gatherings) {
      if (!isConcerned(gathering)) continue;
      // Set anew, so that it comes after what is judged just now.
      this.#changed.delete(gathering);
      this.#changed.set(gathering, news);
    }
  }

  /** The breaks of a gathering, by peaks, with their events; `news` made the new ones known. Heat has no peaks: it is one. */
  #partsOf(gathering: Gathering, about: Surroundings, news: CellFinding): Part[] {
    const { members } = gathering;
    const peaks = peaksOf(
      this.#frame,
      members.map((m) => m.finding.cell),
      members.map((m) => m.finding.sigmas),
      members.map(sizeOf),
    );
    const fresh = { id: '', detectedRow: news.knownRow, detectedTimeS: news.knownTimeS };
    const toldOf = (part: readonly Member[]): Part => {
      const told = toldSoFar(this.#state.past, gathering, part);
      const eventAs = (story: IncidentStory): StrainEvent =>
        incidentEvent(this.#header, this.#frame, part, story, about);
      const event = eventAs(told ?? fresh);
      const isSureNow = told && isCounted(told) && event.severity === 'error';
      return isSureNow ? { part, told: undefined, event: eventAs(fresh) } : { part, told, event };
    };
    // What once convinced several cells together is taken back when, better known, it no longer does.
    const parts = [...new Set(peaks)]
      .map((peak) => members.filter((_, i) => peaks[i] === peak))
      .filter((part) => part.some((m) => m.confirmed) || this.#convinces(gathering, part))
      .map(toldOf);
    const heat = parts.filter(({ event }) => event.nature === 'thermal');
    if (heat.length < 2) return parts;
    const whole = toldOf(members.filter((m) => heat.some(({ part }) => part.includes(m))));
    return [...parts.filter((one) => !heat.includes(one)), whole];
  }

  #convinces(gathering: Gathering, part: readonly Member[]): boolean {
    const pooled = pooledOf(this.#frame, part, gathering.members.length);
    gathering.pooled = Math.max(gathering.pooled, pooled);
    return convinces(this.#header, this.#frame, this.#state.together, part, pooled);
  }
}

/** A break of a gathering, and as what it was told before; undefined where it is new. */
interface Part {
  readonly part: readonly Member[];
  readonly told: Told | undefined;
  readonly event: StrainEvent;
}

function strongest(part: readonly Member[]): Member {
  return part.reduce((a, b) => (b.finding.sigmas > a.finding.sigmas ? b : a));
}
