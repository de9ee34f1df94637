// A comparison with good builds as the view draws it. Times in seconds of the log itself; strain in microstrain.
import type { StepBand } from '../core/display/plot/svgBand.ts';

/** The band of one series over the log's own layers: one entry a layer, in order of time. */
export interface DrawnBand extends StepBand {
  /** Id of the series it belongs to. */
  readonly series: string;
}

/** A run of layers in which one series of one cell lies outside its band. */
export interface OutsideBand {
  readonly series: string;
  /** Index of the cell, -1 where the log does not have it; likewise of the plane. */
  readonly cell: number;
  readonly plane: number;
  readonly fromLayer: number;
  readonly toLayer: number;
  readonly fromS: number;
  readonly toS: number;
  /** Where it is farthest out: layer, its first row's time and line, the build's value and the band there. */
  readonly worstLayer: number;
  readonly worstS: number;
  readonly worstLine: number;
  readonly value: number;
  readonly centre: number;
  readonly halfWidth: number;
  readonly builds: number;
  /** In half-widths of the band, above 1. */
  readonly howFar: number;
}

export interface GoodBuilds {
  /** File names of the good builds. */
  readonly names: readonly string[];
  /** 0 to 1. */
  readonly coverage: number;
  readonly bands: readonly DrawnBand[];
  /** Farthest out first. */
  readonly outside: readonly OutsideBand[];
  /** Layer values compared, those of them outside, and layers past the good builds. */
  readonly comparedValues: number;
  readonly outsideValues: number;
  readonly beyondLayers: number;
  readonly cautions: readonly string[];
}
