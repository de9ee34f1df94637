// What the strain step hands on for one cell and one row block. Arrays are reused between blocks.
// Strain is dimensionless, tension positive; missing is NaN.
import type { CellLayout } from './layout.ts';

/** The in-plane tensor of one rosette per row, and what follows from it. gxy is engineering shear. */
export interface RosetteBlock {
  /**
   * Mechanical strain along each of the rosette's channels, temperature taken out, datum not yet subtracted (where the
   * datum is NaN, good for changes only); NaN also while the channel is left out.
   */
  readonly strain: readonly Float64Array[];
  /** Empty arrays where the rosette has fewer than three independent directions. Datum subtracted once it is known. */
  readonly ex: Float64Array;
  readonly ey: Float64Array;
  readonly gxy: Float64Array;
  /** Principal strains, e1 >= e2, and the direction of e1 in [0, pi). */
  readonly e1: Float64Array;
  readonly e2: Float64Array;
  readonly dir: Float64Array;
}

export interface CellBlock {
  readonly layout: CellLayout;
  /** Rows in use. */
  rows: number;
  /**
   * Kelvin against the datum; NaN where unknown. Where no thermometer read in the datum window it counts from an arbitrary
   * zero, good for changes only: ask CellStrain.temperatureAt for what may be shown.
   */
  readonly temperatureChange: Float64Array;
  /** One per rosette of the layout, same order. */
  readonly rosettes: readonly RosetteBlock[];
}
