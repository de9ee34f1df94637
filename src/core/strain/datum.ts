// The datum: rows of the log's first minutes (or of the window the header names) -> the zero of every channel, its noise,
// and whether the window is fit to be called zero. Rows are pushed in order; the result is fixed once the window closed.
// Memory is bounded: beyond `keptRows` rows every second one is dropped, again and again, whatever the chunking.
import type { LogHeader } from '../header/logHeader.ts';
import type { RowBlock } from '../table/rowBlock.ts';
import { carriesTemperature, strainLine, temperatureLine, temperatureSource } from './channelStrain.ts';
import { datumReasons, defaultDatum } from './datumFitness.ts';
import type { DatumReport } from './datumReport.ts';
import { cellLayouts } from './layout.ts';
import { differenceNoise, drift, trimmedMean } from './robust.ts';
import type { StrainContext } from './strainContext.ts';

const keptRows = 4096;

export class DatumEstimator {
  readonly #header: LogHeader;
  readonly #time = new Float64Array(keptRows);
  readonly #readings: Float64Array[];
  #kept = 0;
  #stride = 1;
  #rows = 0;
  #fromS: number;
  #toS: number;
  #lastS = NaN;
  #closed = false;
  #context: StrainContext | undefined;

  constructor(header: LogHeader) {
    this.#header = header;
    this.#readings = header.channels.map(() => new Float64Array(keptRows));
    this.#fromS = header.datum?.fromS ?? NaN;
    this.#toS = header.datum?.toS ?? NaN;
  }

  /** Takes in a block; true once the window has closed, after which further blocks are ignored. */
  push(block: RowBlock): boolean {
    const time = block.columns[this.#header.roles.time];
    for (let row = 0; row < block.rows && !this.#closed; row++) {
      const timeS = time ? time[row]! : block.firstRow + row;
      if (Number.isNaN(timeS)) continue;
      if (this.#isPast(timeS)) this.#closed = true;
      else if (timeS >= this.#fromS) this.#keep(block, row, timeS);
    }
    return this.#closed;
  }

  /** The zeros and noise of what has been pushed so far; the same object on every later call. */
  result(): StrainContext {
    this.#closed = true;
    this.#context ??= this.#estimate();
    return this.#context;
  }

  #isPast(timeS: number): boolean {
    if (this.#header.datum) return timeS > this.#toS;
    if (Number.isNaN(this.#fromS)) {
      this.#fromS = timeS;
      this.#toS = timeS + defaultDatum.seconds;
    }
    if (this.#rows >= defaultDatum.mostRows || timeS > this.#fromS + defaultDatum.longestSeconds) return true;
    return timeS > this.#toS && this.#rows >= defaultDatum.rows;
  }

  #keep(block: RowBlock, row: number, timeS: number): void {
    if (this.#rows % this.#stride === 0) {
      if (this.#kept === keptRows) this.#thin();
      if (this.#rows % this.#stride === 0) {
        this.#time[this.#kept] = timeS;
        this.#header.channels.forEach((channel, i) => {
          this.#readings[i]![this.#kept] = block.columns[channel.column]![row]!;
        });
        this.#kept++;
      }
    }
    this.#rows++;
    this.#lastS = timeS;
  }

  #thin(): void {
    for (const column of [this.#time, ...this.#readings]) {
      for (let i = 0; i < keptRows / 2; i++) column[i] = column[2 * i]!;
    }
    this.#kept = keptRows / 2;
    this.#stride *= 2;
  }

  #estimate(): StrainContext {
    const header = this.#header;
    const readings = this.#readings.map((column) => column.subarray(0, this.#kept));
    const temperature = header.channels.map((channel, i) => {
      if (!carriesTemperature(channel)) return undefined;
      const line = temperatureLine(channel, header);
      return readings[i]!.map((reading) => (reading - line.zero) * line.perUnit);
    });
    const temperatureZeroK = temperature.map((values) => (values ? trimmedMean(values) : NaN));
    const strain = this.#strains(readings, temperature, temperatureZeroK);
    const mean = strain.map((values) => (values ? trimmedMean(values) : NaN));
    const noise = header.channels.map((channel, i) => {
      const values = temperature[i];
      if (values) return differenceNoise(values);
      return differenceNoise(readings[i]!) * Math.abs(strainLine(channel, header).perUnit);
    });
    const temperatureDrift = temperature
      .map((values) => (values ? Math.abs(drift(values)) : NaN))
      .filter((d) => d >= 0);
    const report: Omit<DatumReport, 'fit' | 'reasons'> = {
      fromS: this.#fromS,
      toS: header.datum ? this.#toS : Math.max(this.#toS, this.#lastS),
      rows: this.#rows,
      mean,
      noise: noise.map((value, i) => (strain[i] ? value : NaN)),
      drift: strain.map((values) => (values ? drift(values) : NaN)),
      temperatureDriftK: temperatureDrift.length > 0 ? Math.max(...temperatureDrift) : NaN,
    };
    const reasons = datumReasons(header, report, strain, temperature);
    return {
      temperatureZeroK,
      strainZero: mean.map((value) => (Number.isNaN(value) ? 0 : value)),
      noise,
      report: { ...report, fit: reasons.length === 0, reasons },
    };
  }

  /** Mechanical strain per strain channel over the kept rows; undefined for channels of temperature. */
  #strains(
    readings: readonly Float64Array[],
    temperature: readonly (Float64Array | undefined)[],
    temperatureZeroK: readonly number[],
  ): (Float64Array | undefined)[] {
    const header = this.#header;
    const layouts = cellLayouts(header);
    return header.channels.map((channel, i) => {
      if (carriesTemperature(channel)) return undefined;
      const line = strainLine(channel, header);
      const layout = layouts[channel.cell];
      const source = layout ? temperatureSource(header, layout, temperatureZeroK, channel.plane) : -1;
      const kelvin = line.perKelvin === 0 ? undefined : temperature[source];
      return readings[i]!.map((reading, row) => {
        const change = kelvin ? kelvin[row]! - temperatureZeroK[source]! : 0;
        return (reading - line.zero) * line.perUnit - line.perKelvin * change;
      });
    });
  }
}
