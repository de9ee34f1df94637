// The four textbook methods on every strain channel of a log: fixed threshold on the first difference, two-sided CUSUM,
// EWMA, and PELT offline. Each limit follows from the method's own formula for white normal noise and the same budget of
// false alarms as ours; because real noise is neither, every method is run with its limit multiplied as well, so that it
// can be judged at the limit that, in hindsight, would have suited it best.
// Alarms of channels close in time are one report, at the mean of the alarmed cells' places; none tells a kind.
import type { Detection } from '../../../src/cli/scoring/detection.ts';
import type { LogBasis } from '../../../src/core/pipeline/logHead.ts';
import { CellStrain } from '../../../src/core/strain/cellStrain.ts';
import type { RowBlock } from '../../../src/core/table/rowBlock.ts';
import { Cusum, cusumLimit } from '../baselines/cusum.ts';
import { Ewma, ewmaWidth } from '../baselines/ewma.ts';
import { FirstDifference, differenceLimit } from '../baselines/firstDifference.ts';
import { pelt, stepSigma } from '../baselines/pelt.ts';
import { LayerInnovation } from './layerInnovation.ts';

export const textbookNames = ['first difference', 'CUSUM', 'EWMA', 'PELT, offline'] as const;
export type TextbookName = (typeof textbookNames)[number];

/** By how much the textbook limit is multiplied. */
export const multiples = [1, 1.4, 2, 2.8, 4, 5.6, 8, 11, 16] as const;

const budgetHours = 200;
const allowance = 0.5;
const weight = 0.2;
/** Rows that PELT splits at a time, and the multiples of its penalty. */
const peltRows = 256;
const peltMultiples = [1, 8] as const;

interface Incident {
  readonly startS: number;
  lastS: number;
  readonly strength: Map<number, number>;
}

interface Alarm {
  push(value: number): boolean;
  reset?(): void;
}

interface ChannelBank {
  readonly cell: number;
  readonly innovation: LayerInnovation;
  /** By method, then by multiple; PELT has none. */
  readonly alarms: readonly (readonly Alarm[])[];
  readonly held: Float64Array;
}

/** Takes the blocks of one log as they are read; `reports` when it has ended. */
export class TextbookMethods {
  readonly #basis: LogBasis;
  readonly #rateHz: number;
  readonly #strain: readonly CellStrain[];
  readonly #banks: readonly (readonly ChannelBank[])[];
  readonly #incidents: readonly (readonly Incident[][])[];
  readonly #heldTimeS = new Float64Array(peltRows);
  readonly #samples: number;
  #heldRows = 0;
  #layer = NaN;
  #place = 0;

  constructor(basis: LogBasis, rateHz: number, durationS: number) {
    const { header, layouts, context } = basis;
    this.#basis = basis;
    this.#rateHz = rateHz;
    this.#samples = durationS * rateHz;
    this.#strain = layouts.map((layout) => new CellStrain(header, layout, context, 4096));
    const channels = layouts.reduce((n, { rosettes }) => n + rosettes.reduce((m, r) => m + r.channels.length, 0), 0);
    const runLength = budgetHours * 3600 * rateHz * channels;
    const limits = [
      differenceLimit(1, runLength),
      cusumLimit(allowance, runLength),
      ewmaWidth(weight, Math.min(runLength, 1e9)),
    ];
    this.#banks = layouts.map(({ cell, rosettes }) =>
      rosettes.flatMap((rosette) => rosette.channels.map(() => newBank(cell, rateHz, limits))),
    );
    this.#incidents = textbookNames.map(() => multiples.map(() => []));
  }

  push(rows: RowBlock): void {
    const cells = this.#strain.map((strain) => strain.convert(rows).rosettes.flatMap((rosette) => rosette.strain));
    const { time, layer } = this.#basis.header.roles;
    for (let row = 0; row < rows.rows; row++) {
      const timeS = rows.columns[time]![row]!;
      if (rows.columns[layer]![row] !== this.#layer) this.#place = -1;
      this.#layer = rows.columns[layer]![row]!;
      this.#place++;
      this.#heldTimeS[this.#heldRows] = timeS;
      for (let c = 0; c < cells.length; c++) {
        const banks = this.#banks[c]!;
        for (let k = 0; k < banks.length; k++) this.#look(banks[k]!, cells[c]![k]![row]!, timeS);
      }
      if (++this.#heldRows === peltRows) this.#split();
    }
  }

  reports(method: TextbookName, multiple: number): Detection[] {
    const incidents = this.#incidents[textbookNames.indexOf(method)]![multiples.indexOf(multiple as 1)]!;
    return incidents.map((incident) => this.#report(incident));
  }

  finish(): void {
    this.#split();
  }

  #look(bank: ChannelBank, strain: number, timeS: number): void {
    const value = bank.innovation.next(strain, this.#place);
    bank.held[this.#heldRows] = value;
    for (let method = 0; method < bank.alarms.length; method++) {
      const alarms = bank.alarms[method]!;
      for (let m = 0; m < alarms.length; m++) {
        if (!alarms[m]!.push(value)) continue;
        alarms[m]!.reset?.();
        this.#tell(method, m, bank.cell, timeS, Math.abs(value));
      }
    }
  }

  /** Splits the rows held, channel by channel; the alarms are then told in order of time. */
  #split(): void {
    const rows = this.#heldRows;
    this.#heldRows = 0;
    const found: { m: number; cell: number; row: number; size: number }[] = [];
    for (const bank of this.#banks.flat()) {
      const known: number[] = [];
      for (let row = 0; row < rows; row++) if (!Number.isNaN(bank.held[row])) known.push(row);
      if (known.length < 20) continue;
      const values = known.map((row) => bank.held[row]!);
      const sigma = stepSigma(values) || 1;
      for (const multiple of peltMultiples) {
        const m = multiples.indexOf(multiple);
        const changes = pelt(values, sigma, 2 * Math.log(this.#samples) * multiple);
        for (const at of changes) {
          const row = known[at]!;
          found.push({ m, cell: bank.cell, row, size: Math.abs(values[at]!) });
        }
      }
    }
    found.sort((a, b) => a.row - b.row);
    for (const { m, cell, row, size } of found) this.#tell(3, m, cell, this.#heldTimeS[row]!, size);
  }

  #tell(method: number, multiple: number, cell: number, timeS: number, size: number): void {
    const incidents = this.#incidents[method]![multiple]!;
    const last = incidents.at(-1);
    const open = last && timeS - last.lastS <= Math.max(10, 5 / this.#rateHz);
    const incident = open ? last : { startS: timeS, lastS: timeS, strength: new Map<number, number>() };
    if (!open) incidents.push(incident);
    incident.lastS = timeS;
    incident.strength.set(cell, Math.max(size, incident.strength.get(cell) ?? 0));
  }

  #report({ startS, strength }: Incident): Detection {
    const { cells } = this.#basis.header;
    const ranked = [...strength].sort(([, a], [, b]) => b - a);
    const total = ranked.reduce((sum, [, size]) => sum + size, 0);
    const mean = (axis: 'xM' | 'yM'): number =>
      ranked.reduce((sum, [cell, size]) => sum + cells[cell]![axis] * size, 0) / total;
    return {
      nature: 'mechanical',
      kind: '',
      timeS: startS,
      detectedTimeS: startS,
      cells: ranked.map(([cell]) => cells[cell]!.name),
      channels: [],
      originM: [mean('xM'), mean('yM')],
      part: '',
    };
  }
}

function newBank(cell: number, rateHz: number, [difference, sum, width]: readonly number[]): ChannelBank {
  const cusum = (m: number): Alarm => new Cusum({ target: 0, allowance, limit: sum! * m });
  const ewma = (m: number): Alarm => new Ewma({ target: 0, sigma: 1, weight, width: width! * m, exactStart: true });
  return {
    cell,
    innovation: new LayerInnovation(rateHz),
    alarms: [multiples.map((m) => new FirstDifference(difference! * m)), multiples.map(cusum), multiples.map(ewma)],
    held: new Float64Array(peltRows),
  };
}
