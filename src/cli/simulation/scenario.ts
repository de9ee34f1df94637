// A simulated build as it was asked for, checked and in SI units. Made by readScenario.ts from YAML, or by a bench in code.
// Axes and signs are those of the log: x right, y back, z up from the mid-plane, directions counterclockwise from +x,
// strain dimensionless and positive in tension.

export type ChannelKind = 'bragg' | 'spectral-shift' | 'strain';
export type BreakKind = 'release' | 'crack' | 'creep-off';
export type FaultKind = 'dropout' | 'stuck' | 'spike' | 'jump' | 'wander';
export type KernelShape = 'nucleus' | 'patch' | 'edge' | 'exponential';

export interface Scenario {
  readonly seed: number;
  readonly build: {
    readonly name: string;
    readonly started: string;
    readonly layerHeightM: number;
    readonly layers: number;
    readonly plannedLayers: number;
  };
  readonly rateHz: number;
  /** Standard deviation of each row's time stamp about its place in the grid. */
  readonly timeJitterS: number;
  /** Time before the first layer; layer 0. */
  readonly warmUpS: number;
  readonly plate: PlateScenario;
  readonly planes: readonly { readonly name: string; readonly heightM: number }[];
  readonly cells: readonly { readonly name: string; readonly xM: number; readonly yM: number }[];
  readonly fibres: FibreScenario;
  readonly temperature: TemperatureScenario;
  readonly noise: NoiseScenario;
  readonly layer: LayerScenario;
  readonly heat: HeatScenario;
  readonly parts: readonly PartScenario[];
  readonly recoater: { readonly directionRad: number; readonly rub: number };
  readonly datum: { readonly fromS: number; readonly toS: number };
  readonly pauses: readonly { readonly at: Moment; readonly lastsS: number }[];
  readonly breaks: readonly BreakScenario[];
  readonly strikes: readonly StrikeScenario[];
  readonly faults: readonly FaultScenario[];
  /** Columns `phase` beside `layer`. */
  readonly writePhase: boolean;
}

export interface PlateScenario {
  readonly sizeM: readonly [number, number];
  readonly thicknessM: number;
  readonly material: string;
  readonly youngsModulusPa: number;
  readonly poissonsRatio: number;
  readonly thermalExpansionPerK: number;
  readonly yieldStressPa: number;
  /** Share of the free bending that the mounting lets through: 0 clamped flat, 1 free. */
  readonly bendingShare: number;
  /** Share of thermal expansion that the mounting holds back. */
  readonly restraint: number;
}

export interface FibreScenario {
  readonly kind: ChannelKind;
  readonly directionsRad: readonly number[];
  /** bragg: wavelength of the first grating and the step to the next, metres. */
  readonly firstRestM: number;
  readonly restStepM: number;
  /** bragg: dimensionless; spectral-shift: hertz per unit strain. */
  readonly strainGain: number;
  /** bragg: 1/K; spectral-shift: Hz/K. At constant length. */
  readonly thermalGain: number;
  /** `strain` only: the interrogator has taken temperature out. */
  readonly compensated: boolean;
  /** Decimals written, in nm, GHz or um/m. */
  readonly decimals: number;
  /** Standard deviation of what the header does not know: laying error of the direction, error of the gain. */
  readonly directionErrorRad: number;
  readonly gainError: number;
}

export interface TemperatureScenario {
  readonly per: 'cell' | 'plate' | 'none';
  readonly noiseK: number;
  readonly lagS: number;
  readonly decimals: number;
}

/** Each a standard deviation in strain of one channel; independent between channels unless said. */
export interface NoiseScenario {
  readonly white: number;
  /** Above 2: the white part is Student's t with these degrees of freedom; 0 means normal. */
  readonly tailDegrees: number;
  readonly slow: number;
  readonly slowTimeS: number;
  readonly pink: number;
  /** Common to all channels of the plate (interrogator). */
  readonly common: number;
}

export interface LayerScenario {
  readonly recoatS: number;
  readonly exposeS: number;
  readonly dwellS: number;
  /** Relative standard deviation of the exposure's length: from one layer to the next, and slowly over tens of layers. */
  readonly jitter: number;
  readonly drift: number;
}

export interface HeatScenario {
  readonly startC: number;
  readonly setC: number;
  readonly plateTimeS: number;
  /** Standard deviation and time of the plate's slow wander about its set point. */
  readonly wanderK: number;
  readonly wanderTimeS: number;
  /** Peak rise of a cell under a part while it is exposed, first layers. */
  readonly exposureK: number;
  readonly exposureTimeS: number;
  /** Height at which the rise has fallen to half. */
  readonly fadeHeightM: number;
  readonly recoatDipK: number;
}

export interface PartScenario {
  readonly name: string;
  readonly outlineM: readonly (readonly [number, number])[];
  /** Contraction that the whole part would give a free spot of the plate's top in the end; positive contracts. */
  readonly shrinkage: number;
  /** Height by which 63 % of it has come. */
  readonly shrinkageHeightM: number;
  /** (along - across)/(along + across) of the shrinkage, and its direction. */
  readonly anisotropy: number;
  readonly directionRad: number;
  /** Expansion during exposure that goes back in the same layer. */
  readonly cycle: number;
  /** Turn of the scan lines from layer to layer. */
  readonly scanTurnRad: number;
}

/** A time, or a time after the start of a layer. */
export type Moment = { readonly timeS: number } | { readonly layer: number; readonly afterS: number };

/** How large at the strongest cell: strain, or multiples of one reading's noise. */
export type Size = { readonly strain: number } | { readonly sigmas: number };

export interface KernelScenario {
  readonly shape: KernelShape;
  readonly originM: readonly [number, number];
  /** Second end of an edge; equal to the origin for the other shapes. */
  readonly toM: readonly [number, number];
  readonly widthM: number;
  /** Direction of the larger principal change, and the other as a fraction of it. */
  readonly directionRad: number;
  readonly ratio: number;
}

export interface BreakScenario {
  readonly kind: BreakKind;
  /** A name of the user's own that the truth repeats; '' for none. */
  readonly label: string;
  readonly at: Moment;
  readonly overS: number;
  /** Sign of the larger principal change. */
  readonly size: Size;
  readonly sign: 1 | -1;
  readonly kernel: KernelScenario;
  readonly part: string;
  /** Share of the part's further shrinkage and cycle that is lost. */
  readonly loss: number;
}

export interface StrikeScenario {
  readonly label: string;
  readonly at: Moment;
  readonly lastsS: number;
  readonly originM: readonly [number, number];
  readonly size: Size;
  /** Half-widths across and along the blade. */
  readonly widthM: number;
  readonly reachM: number;
  readonly part: string;
}

export interface FaultScenario {
  readonly kind: FaultKind;
  readonly label: string;
  readonly at: Moment;
  readonly lastsS: number;
  /** Channel names; all channels of a cell may be listed. */
  readonly channels: readonly string[];
  readonly size: Size;
  readonly sign: 1 | -1;
  /** spike: how many in the time it lasts. */
  readonly count: number;
}
