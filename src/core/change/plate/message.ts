// The words of events: one sentence a person can act on, and each piece of evidence with its number and unit.
import { asRead, fixed, withUnit } from '../../display/numberFormat.ts';
import { degrees, kelvin, labelOf, microstrain, millimetres } from '../../display/units.ts';
import type { LogHeader } from '../../header/logHeader.ts';
import { carriesTemperature } from '../../header/logHeader.ts';
import type { Evidence, EventKind } from '../events.ts';
import type { ChangeFinding, RosetteChange, SensorFinding } from '../findings.ts';
import { isCommon } from './kind.ts';
import type { KindVerdict } from './kind.ts';
import type { ChannelChange } from './loneChannel.ts';
import { isPlaceKnown, type Origin } from './origin.ts';
import type { PartPlace } from './plateFrame.ts';

export interface ChangeFacts {
  readonly header: LogHeader;
  readonly verdict: KindVerdict;
  readonly strongest: ChangeFinding;
  /** Dimensionless. */
  readonly size: number;
  readonly rosette: RosetteChange | undefined;
  readonly cells: readonly number[];
  readonly plateCells: number;
  /** Cells anywhere on the plate that changed at the same time. */
  readonly together: number;
  /** All channels of most of them changed by the same. */
  readonly shared: boolean;
  /** The log tells no layers, and has not gone on for long, or a cell of these has changed alike several times before. */
  readonly early: boolean;
  readonly again: boolean;
  /** The cycle of the layer came at another time than usual, and could have made the change. */
  readonly astray: boolean;
  /** It is what a plate does whose temperature nothing measures, and the plate was told to change it just then. */
  readonly drifting: boolean;
  readonly origin: Origin | undefined;
  readonly part: PartPlace | undefined;
  readonly soloEvidence: number;
  /** The channel's own change, where that is what happened and the metal has none. */
  readonly lone: ChannelChange | undefined;
  readonly endTimeS: number;
  readonly layer: number;
}

export const names: Record<EventKind, string> = {
  release: 'Release',
  crack: 'Crack',
  strike: 'Strike',
  'creep-off': 'Slow lift',
  heat: 'Heat',
  dropout: 'Readings missing',
  stuck: 'Reading stuck',
  spike: 'Spike',
  jump: 'Sensor jump',
  wander: 'Sensor wander',
};

export function strainText(strain: number): string {
  const value = strain * microstrain.scale;
  return withUnit(fixed(value, Math.abs(value) < 10 ? 1 : 0), microstrain.unitLabel);
}

export function changeMessage(facts: ChangeFacts): string {
  const { header, verdict, strongest, size, rosette, cells, plateCells } = facts;
  const where = whereOf(facts);
  const layer = layerText(facts.layer);
  const cell = header.cells[strongest.cell]!.name;
  const turn =
    rosette && Math.abs(rosette.turnDeg) > 2 * rosette.turnErrorDeg
      ? `, direction turned ${withUnit(fixed(Math.abs(rosette.turnDeg), 0), degrees.unitLabel)}`
      : '';
  const others = cells.length > 1 ? ` and ${cells.length - 1} more ${cells.length > 2 ? 'cells' : 'cell'}` : '';
  const passed = Number.isNaN(facts.endTimeS) ? '' : `, gone after ${seconds(facts.endTimeS - strongest.timeS)}`;
  const doubt = verdict.sure ? '' : `; not sure: ${doubtOf(facts, plateCells)}`;
  if (verdict.nature === 'sensor') {
    const { name, change } = facts.lone ?? { name: cell, change: size };
    return `${names[verdict.kind]} in ${name}${layer}: ${strainText(change)} in this channel, not in the metal${passed}${doubt}`;
  }
  return `${names[verdict.kind]}${where}${layer}: ${strainText(size)} at ${cell}${others}${turn}${passed}${doubt}`;
}

function doubtOf(facts: ChangeFacts, plateCells: number): string {
  const { verdict, strongest, soloEvidence, together, shared, early, again, astray, header } = facts;
  if (verdict.natureSure) return 'release and crack look alike here';
  if (verdict.kind === 'heat' && Number.isNaN(strongest.temperatureK)) {
    return 'no thermometer tells; the plate expands or contracts as heat would make it';
  }
  if (early && verdict.nature === 'mechanical') {
    return 'the log tells no layers and has not gone on for long, so a cycle of the build would look the same';
  }
  if (again && verdict.nature === 'mechanical') {
    return 'the log tells no layers, and these cells have changed alike before, as by a cycle of the build';
  }
  if (astray && verdict.nature === 'mechanical') {
    return 'steps of the layer came earlier or later than usual, and the cycle of these cells could have done the same';
  }
  if (isCommon(plateCells, together)) {
    return shiftOf(together, plateCells);
  }
  if (shared && verdict.nature === 'mechanical') {
    return `all fibres of these cells changed by the same, as when a port of the instrument shifts`;
  }
  if (facts.drifting && verdict.nature === 'mechanical') {
    return 'the plate was changing its temperature, which nothing measures here';
  }
  const solo = header.channels[strongest.soloChannel]?.name;
  if (verdict.nature === 'sensor') return 'the metal under the sensor could do the same';
  if (solo !== undefined && soloEvidence > -4) return `${solo} alone could explain it`;
  if (verdict.kind === 'strike') return 'one cell only and not while recoating';
  if (verdict.kind === 'heat') return 'the temperature explains it only in part';
  return 'release and crack look alike here';
}

export function shiftOf(together: number, plateCells: number): string {
  return `${together} of ${plateCells} cells changed at once, as when the plate slips or the whole instrument shifts`;
}

function whereOf({ part, origin, header }: ChangeFacts): string {
  if (part) return part.distanceM > 0 ? ` near ${part.name}` : ` under ${part.name}`;
  return origin && isPlaceKnown(origin, header.plate.sizeM)
    ? ` at x ${fixed(origin.xM * millimetres.scale, 0)}, y ${lengthText(origin.yM)}`
    : '';
}

export function layerText(layer: number): string {
  return layer >= 0 ? ` at layer ${layer}` : '';
}

function lengthText(metres: number): string {
  return withUnit(fixed(metres * millimetres.scale, 0), millimetres.unitLabel);
}

function seconds(s: number): string {
  return s < 10 ? `${s.toFixed(1)} s` : s < 600 ? `${s.toFixed(0)} s` : `${(s / 60).toFixed(0)} min`;
}

export function changeEvidence(facts: ChangeFacts): Evidence[] {
  const { strongest, verdict, rosette, header, cells, origin, soloEvidence } = facts;
  const cell = header.cells[strongest.cell]!.name;
  const evidence: Evidence[] = [
    {
      name: 'statistic',
      value: strongest.sigmas,
      unit: '',
      text: `The change at ${cell} is ${strongest.sigmas.toFixed(1)} times its own noise, over ${strongest.length} samples.`,
    },
    sizeEvidence(facts),
    {
      name: 'cells',
      value: cells.length,
      unit: '',
      text: `${cells.length} of ${facts.plateCells} cells changed${cells.length > 1 ? ' together' : ''}.`,
    },
  ];
  // Turn and origin are those of the metal.
  if (verdict.nature !== 'sensor' && rosette && Number.isFinite(rosette.turnDeg)) {
    const { turnDeg, turnErrorDeg } = rosette;
    const text = `Principal direction at ${cell} turned by ${withUnit(fixed(turnDeg, 1), degrees.unitLabel)} (standard error ${withUnit(fixed(turnErrorDeg, 1), degrees.unitLabel)}).`;
    evidence.push({ name: 'turn', value: turnDeg, unit: degrees.unit, text });
  }
  if (Number.isFinite(soloEvidence)) {
    const channel = header.channels[strongest.soloChannel]!.name;
    const text =
      soloEvidence > 0
        ? `${channel} alone explains the change better than the metal does (log-odds ${(soloEvidence / 2).toFixed(1)}).`
        : `The metal explains the change better than ${channel} alone does (log-odds ${(-soloEvidence / 2).toFixed(1)}).`;
    evidence.push({ name: 'one-channel', value: soloEvidence / 2, unit: '', text });
  }
  if (Number.isFinite(strongest.temperatureK)) {
    const text = `Temperature changed by ${withUnit(fixed(strongest.temperatureK, 2), kelvin.unitLabel)} over the same samples.`;
    evidence.push({ name: 'temperature', value: strongest.temperatureK, unit: kelvin.unit, text });
  }
  if (origin && verdict.nature === 'mechanical') {
    const spread = lengthText(origin.spreadM);
    const text = isPlaceKnown(origin, header.plate.sizeM)
      ? `Origin known to ${spread}.`
      : `Origin not known: a spread of ${spread} is as much as the plate measures.`;
    evidence.push({ name: 'origin-spread', value: origin.spreadM * millimetres.scale, unit: millimetres.unit, text });
  }
  return evidence;
}

/** What changed, and by how much: the metal under the clearest cell, or the channel. */
function sizeEvidence({ header, strongest, size, lone }: ChangeFacts): Evidence {
  if (lone) {
    const text = `Change of ${lone.name} itself: ${strainText(lone.change)} (standard error ${strainText(lone.error)}).`;
    return { name: 'size', value: lone.change * microstrain.scale, unit: microstrain.unit, text };
  }
  const cell = header.cells[strongest.cell]!.name;
  const text = `Change of strain at ${cell}, the clearest cell: ${strainText(size)} along its strongest direction.`;
  return { name: 'size', value: size * microstrain.scale, unit: microstrain.unit, text };
}

export function sensorMessage(header: LogHeader, finding: SensorFinding): string {
  const channels = finding.channels.map((c) => header.channels[c]!.name);
  const cell = header.cells[finding.cell]!.name;
  const whole = channels.length > 1 ? `${channels.length} channels of ${cell}` : (channels[0] ?? cell);
  const layer = layerText(finding.layer);
  // How long it lasts is known at its end alone; a count so far would be wrong a row later.
  const lasted = Number.isNaN(finding.endTimeS)
    ? ' when it was noticed, and ever since'
    : ` until ${seconds(finding.endTimeS - finding.timeS)} later`;
  if (finding.what === 'spike') {
    return `Spike in ${whole}${layer}: ${strainText(finding.size)} for ${finding.samples} ${finding.samples === 1 ? 'sample' : 'samples'}, ${finding.sigmas.toFixed(0)} times the noise`;
  }
  if (finding.what === 'stuck') {
    const start = finding.row === 0 ? ' since the log began' : '';
    const what = channels.length > 1 ? 'Readings stuck' : `Reading stuck at ${readingText(header, finding)}`;
    const told = `${what} in ${whole}${layer}${start}: ${finding.samples} equal readings in a row${lasted}`;
    return `${told}${withoutThermometer(header, finding, 'does not follow the temperature')}`;
  }
  if (finding.chatters) {
    return `Sensor wander in ${whole}${layer}: ${finding.samples} spikes of it alone within ${seconds(finding.knownTimeS - finding.timeS)}, too many to tell one by one; changes of ${cell} are measured without them, and less keenly, for now`;
  }
  if (finding.what === 'wander') {
    return `Sensor wander in ${whole}${layer}: ${finding.samples} changes that it alone could have made; changes of ${cell} are measured without it for now`;
  }
  const told = `Readings missing in ${whole}${layer}: ${finding.samples} rows${lasted}`;
  return `${told}${withoutThermometer(header, finding, 'is missing')}`;
}

/** As the log has it, with the unit of its column. */
function readingText(header: LogHeader, { channels, size }: SensorFinding): string {
  const unit = header.columns[header.channels[channels[0]!]!.column]?.unit ?? '';
  return withUnit(asRead(size), labelOf(unit));
}

/** What a thermometer that is alone out of order means for the strain that is reckoned by it. */
function withoutThermometer(header: LogHeader, { channels, endTimeS }: SensorFinding, meaning: string): string {
  const [channel] = channels.map((c) => header.channels[c]!);
  if (channels.length > 1 || !channel || !carriesTemperature(channel)) return '';
  return `; strain that is reckoned by it ${meaning} ${Number.isNaN(endTimeS) ? 'until it reads again' : 'in that time'}`;
}

export function sensorEvidence(header: LogHeader, finding: SensorFinding): Evidence[] {
  const { samples, sigmas, what } = finding;
  const count: Evidence = {
    name: 'samples',
    value: samples,
    unit: '',
    text: `${samples} ${samples === 1 ? 'sample' : 'samples'} in ${finding.channels.map((c) => header.channels[c]!.name).join(', ')}.`,
  };
  if (finding.chatters) {
    const text = `${samples} spikes in this channel alone, each back within two samples.`;
    return [{ name: 'samples', value: samples, unit: '', text }];
  }
  if (what === 'wander') {
    const text = `Changes that pointed at this channel alone: ${samples}, together with log-odds of ${fixed(sigmas / 2, 1)}.`;
    return [{ name: 'one-channel', value: sigmas / 2, unit: '', text }];
  }
  if (what !== 'spike') return [count];
  return [
    count,
    { name: 'statistic', value: sigmas, unit: '', text: `${sigmas.toFixed(1)} times the channel's noise.` },
  ];
}
