// Excursions of temperature of single cells -> one thermal event of the plate. One thermometer of several may be wrong, so
// it takes two cells, or all where fewer measure temperature. Plain data: part of the plate stage's state.
import { countOf } from '../../display/numberFormat.ts';
import type { LogHeader } from '../../header/logHeader.ts';
import type { StrainEvent } from '../events.ts';
import type { HeatFinding } from '../findings.ts';
import { instantIn } from '../readings/heatWatch.ts';
import { addEvent, reviseEvent } from './ledger.ts';
import type { LedgerState } from './ledger.ts';
import { layerText } from './message.ts';

export interface HeatPeriod {
  /** By cell, the latest finding of each. */
  findings: HeatFinding[];
  /** Place in the list of events and id; -1 while too few cells tell of it. */
  slot: number;
  id: string;
  detectedRow: number;
  detectedTimeS: number;
}

/** Onsets this many rows after the last finding, with all ended, belong to another period. */
const apartRows = 60;
const witnesses = 2;

export function tellHeat(
  header: LogHeader,
  ledger: LedgerState,
  periods: HeatPeriod[],
  measuring: number,
  finding: HeatFinding,
): void {
  let period = periods.find((p) => p.findings.some((f) => f.cell === finding.cell && f.serial === finding.serial));
  period ??= periods.find((p) => finding.row <= until(p) + apartRows);
  if (!period) {
    period = { findings: [], slot: -1, id: '', detectedRow: -1, detectedTimeS: NaN };
    // Earlier ones can no longer be joined.
    periods.splice(0, periods.length, period);
  }
  const own = period.findings.findIndex((f) => f.cell === finding.cell);
  if (own < 0) period.findings.push(finding);
  else period.findings[own] = { ...finding, ...instantIn(period.findings[own]!) };
  if (period.slot >= 0) reviseEvent(ledger, period.slot, heatEvent(header, period), NaN);
  else if (period.id === '' && period.findings.length >= Math.min(witnesses, measuring)) {
    period.detectedRow = finding.knownRow;
    period.detectedTimeS = finding.knownTimeS;
    Object.assign(period, addEvent(ledger, header, heatEvent(header, period), period.findings[0]!.cell, NaN));
  }
}

/** Whether an excursion of the plate's temperature was told that had begun, and not ended, about a row. */
export function inHeat(periods: readonly HeatPeriod[], row: number): boolean {
  return periods.some((p) => p.id !== '' && covers(p, row));
}

/** An event at a row that was told before turned out to be a part of the excursion. */
export function foldIntoHeat(ledger: LedgerState, periods: readonly HeatPeriod[], row: number): void {
  const period = periods.find((p) => p.slot >= 0 && covers(p, row));
  const entry = period && ledger.entries[period.slot];
  if (entry) entry.event = { ...entry.event, folded: entry.event.folded + 1 };
}

function covers(period: HeatPeriod, row: number): boolean {
  return row >= firstOf(period).row - apartRows / 4 && row <= until(period);
}

function until(period: HeatPeriod): number {
  return Math.max(...period.findings.map((f) => (f.endRow < 0 ? Infinity : f.endRow)));
}

function firstOf(period: HeatPeriod): HeatFinding {
  return period.findings.reduce((a, b) => (b.row < a.row ? b : a));
}

function heatEvent(header: LogHeader, period: HeatPeriod): StrainEvent {
  const { id, detectedRow, detectedTimeS, findings } = period;
  const first = firstOf(period);
  const most = findings.reduce((a, b) => (Math.abs(b.temperatureK) > Math.abs(a.temperatureK) ? b : a));
  const over = findings.every((f) => f.endRow >= 0);
  const kelvin = Math.abs(most.temperatureK);
  const ranges = kelvin / most.usualK;
  const cell = header.cells[most.cell]!.name;
  const way = most.temperatureK < 0 ? 'colder' : 'hotter';
  const why = findings.some((f) => f.overdue) ? ', while the layer lasts longer than usual' : '';
  const others =
    findings.length > 1 ? ` and ${findings.length - 1} more ${findings.length > 2 ? 'cells' : 'cell'}` : '';
  return {
    id,
    nature: 'thermal',
    kind: 'heat',
    severity: 'information',
    sure: true,
    ...instantIn(first),
    endTimeS: over ? Math.max(...findings.map((f) => f.endTimeS)) : NaN,
    detectedRow,
    detectedTimeS,
    layer: Number.isNaN(first.layer) ? -1 : first.layer,
    cells: [],
    channels: [],
    originM: [NaN, NaN],
    originSpreadM: NaN,
    part: '',
    evidence: [
      {
        name: 'temperature',
        value: most.temperatureK,
        unit: 'K',
        text: `${cell} was up to ${kelvin.toFixed(2)} K ${way} than usual${over ? '' : ' so far'}, ${ranges.toFixed(1)} times its usual range.`,
      },
      {
        name: 'cells',
        value: findings.length,
        unit: '',
        text: `${countOf(findings.length, 'cell', 'cells')} left ${findings.length > 1 ? 'their usual temperature together' : 'its usual temperature'}.`,
      },
    ],
    message: `Heat${layerText(first.layer)}: plate ${way} than usual by up to ${kelvin.toFixed(2)} K at ${cell}${others}${why}`,
    loneChannel: -1,
    folded: 0,
  };
}
