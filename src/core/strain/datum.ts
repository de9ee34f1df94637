// The datum: rows of the log's first minutes (or of the window the header names) -> the zero of every channel, its noise,
// and whether the window is fit to be called zero. Rows are pushed in order; the result is fixed once the window closed.
// Memory is bounded: beyond `keptRows` rows every second one is dropped, again and again, whatever the chunking. Where the
// window turns out to hold no rows there is no zero; the noise of what does not change within it is known from the rows
// before it, if from anything.
import type { LogHeader } from '../header/logHeader.ts';
import type { RowBlock } from '../table/rowBlock.ts';
import { carriesTemperature } from '../header/logHeader.ts';
import { strainLine, temperatureLine, temperatureSource } from './channelStrain.ts';
import { datumReasons, defaultDatum } from './datumFitness.ts';
import type { DatumReport } from './datumReport.ts';
import { cellLayouts } from './layout.ts';
import { differenceNoise, drift, lagOneCorrelation, trimmedMean } from './robust.ts';
import type { StrainContext } from './strainContext.ts';

const keptRows = 4096;
/** Room for so many to begin with: most windows hold no more. */
const firstRows = 256;

function twiceAsLong(column: Float64Array): Float64Array {
  const longer = new Float64Array(2 * column.length);
  longer.set(column);
  return longer;
}

export class DatumEstimator {
  readonly #header: LogHeader;
  #readings: Float64Array[];
  /** Noise of the readings before the window, as far as kept, in the file's unit; NaN where unknown. */
  #noiseBefore: readonly number[];
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
    this.#readings = header.channels.map(() => new Float64Array(firstRows));
    this.#noiseBefore = header.channels.map(() => NaN);
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
      else if (this.#kept < keptRows) this.#copy(block, row);
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
    if (this.#rows === 0) {
      this.#noiseBefore = this.#noise();
      this.#kept = 0;
    }
    if (this.#rows % this.#stride === 0) {
      if (this.#kept === keptRows) this.#thin();
      if (this.#rows % this.#stride === 0) this.#copy(block, row);
    }
    this.#rows++;
    this.#lastS = timeS;
  }

  #copy(block: RowBlock, row: number): void {
    if (this.#kept === (this.#readings[0]?.length ?? 0)) this.#readings = this.#readings.map(twiceAsLong);
    this.#header.channels.forEach((channel, i) => {
      this.#readings[i]![this.#kept] = block.columns[channel.column]![row]!;
    });
    this.#kept++;
  }

  /** Of the rows kept, per channel, in the file's unit. */
  #noise(): number[] {
    return this.#readings.map((column) => differenceNoise(column.subarray(0, this.#kept)));
  }

  #thin(): void {
    for (const column of this.#readings) {
      for (let i = 0; i < keptRows / 2; i++) column[i] = column[2 * i]!;
    }
    this.#kept = keptRows / 2;
    this.#stride *= 2;
  }

  #estimate(): StrainContext {
    const header = this.#header;
    const readings = this.#readings.map((column) => column.subarray(0, this.#rows > 0 ? this.#kept : 0));
    const temperature = header.channels.map((channel, i) => {
      if (!carriesTemperature(channel)) return undefined;
      const line = temperatureLine(channel, header);
      return readings[i]!.map((reading) => (reading - line.zero) * line.perUnit);
    });
    const temperatureZeroK = temperature.map((values) => (values ? trimmedMean(values) : NaN));
    const sources = this.#sources(temperatureZeroK);
    const strain = this.#strains(readings, temperature, temperatureZeroK, sources);
    const mean = strain.map((values) => (values ? trimmedMean(values) : NaN));
    const noise = this.#noise().map((ofRows, i) => {
      const channel = header.channels[i]!;
      const { perUnit } = carriesTemperature(channel) ? temperatureLine(channel, header) : strainLine(channel, header);
      return (Number.isNaN(ofRows) ? this.#noiseBefore[i]! : ofRows) * Math.abs(perUnit);
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
    const unzeroed = sources.map((source) => (Number.isNaN(temperatureZeroK[source]) ? source : -1));
    const reasons = datumReasons(header, report, { strain, readings, noise, sources, unzeroed });
    return {
      temperatureZeroK,
      strainZero: mean.map((value, i) => (unzeroed[i]! >= 0 ? NaN : Number.isNaN(value) ? 0 : value)),
      noise,
      correlation: readings.map(lagOneCorrelation),
      report: { ...report, fit: reasons.length === 0, reasons },
    };
  }

  /** Mechanical strain per strain channel over the kept rows; undefined for channels of temperature. */
  #strains(
    readings: readonly Float64Array[],
    temperature: readonly (Float64Array | undefined)[],
    temperatureZeroK: readonly number[],
    sources: readonly number[],
  ): (Float64Array | undefined)[] {
    const header = this.#header;
    return header.channels.map((channel, i) => {
      if (carriesTemperature(channel)) return undefined;
      const line = strainLine(channel, header);
      const source = sources[i]!;
      const kelvin = temperature[source];
      return readings[i]!.map((reading, row) => {
        const change = kelvin ? kelvin[row]! - temperatureZeroK[source]! : 0;
        return (reading - line.zero) * line.perUnit - line.perKelvin * change;
      });
    });
  }

  /** Per channel: the one by which temperature is taken out of it; -1 where none is. */
  #sources(temperatureZeroK: readonly number[]): number[] {
    const header = this.#header;
    const layouts = cellLayouts(header);
    return header.channels.map((channel) => {
      const layout = layouts[channel.cell];
      if (!layout || carriesTemperature(channel) || strainLine(channel, header).perKelvin === 0) return -1;
      return temperatureSource(header, layout, temperatureZeroK, channel.plane);
    });
  }
}
