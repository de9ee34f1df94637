// What is said of the datum window: the readings whose mean is called zero.

export interface DatumReport {
  readonly fromS: number;
  readonly toS: number;
  readonly rows: number;
  /** Per strain channel of the header (NaN for others): mean, standard deviation, drift over the window; dimensionless. */
  readonly mean: readonly number[];
  readonly noise: readonly number[];
  readonly drift: readonly number[];
  /** Largest temperature drift in the window over all temperature channels, kelvin; NaN where unknown. */
  readonly temperatureDriftK: number;
  readonly fit: boolean;
  /** Why it is not fit, one sentence each, with numbers. */
  readonly reasons: readonly string[];
}
