// What must be known of a log before any row can be turned into strain: the zero of temperature and of strain, and the
// noise, all taken from the datum window. Fixed for the whole log, so that any row can be converted on its own.
import type { DatumReport } from './datumReport.ts';

export interface StrainContext {
  /** Per channel of the header: temperature called zero (in the channel's SI unit, kelvin), NaN for strain channels. */
  readonly temperatureZeroK: readonly number[];
  /**
   * Per channel: mechanical strain in the datum window, subtracted from every row; 0 where none. NaN where the cell has
   * thermometers and none read in the window: changes of strain can then be told, strain cannot.
   */
  readonly strainZero: readonly number[];
  /** Per channel: standard deviation of one reading's noise as strain (temperature channels: kelvin). */
  readonly noise: readonly number[];
  /** Per channel: correlation of the noise from row to row, -1 to 1; NaN where unknown. */
  readonly correlation: readonly number[];
  readonly report: DatumReport;
}
