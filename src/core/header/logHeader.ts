// The resolved header: what a log says of itself after validation, defaults filled in, every quantity in SI.
// Everything downstream reads this and never the header's text. The text's own schema stands in schema.ts.
// Axes: x right, y to the back of the machine, z up, origin at the plate's front left corner; directions
// counterclockwise from +x seen from above; plane heights from the mid-plane, positive up.

/** What a reading of a column can be, in the file's unit: between the limits, both excluded. */
export interface PossibleReadings {
  readonly above: number;
  readonly below: number;
  /** Whole numbers only. */
  readonly whole: boolean;
}

/** A column as the table declares it (ECSV `datatype`). `toSi*`: SI value = reading * scale + offset. */
export interface Column {
  readonly name: string;
  /** Unit as spelled in the file, '' where none. */
  readonly unit: string;
  readonly datatype: string;
  readonly toSiScale: number;
  readonly toSiOffset: number;
  /** Left out where nothing is known of it: no channel hangs on the column. */
  readonly possible?: PossibleReadings;
}

export interface Plate {
  /** Extent in x and y, metres. */
  readonly sizeM: readonly [number, number];
  readonly thicknessM: number;
  readonly material: string;
  readonly youngsModulusPa: number;
  readonly poissonsRatio: number;
  /** Coefficient of thermal expansion, 1/K. */
  readonly thermalExpansionPerK: number;
  readonly yieldStressPa: number;
  /** Which of the values above were not in the file but came from a default or the material table. */
  readonly assumed: readonly string[];
}

export interface Plane {
  readonly name: string;
  /** From the mid-plane, positive up; NaN where the header does not say (one plane only). */
  readonly heightM: number;
}

export interface Cell {
  readonly name: string;
  readonly xM: number;
  readonly yM: number;
}

export type ChannelKind = 'temperature' | 'bragg' | 'spectral-shift' | 'strain';

/** One measured column. Indices point into LogHeader.columns, cells and planes; -1 means none. */
export interface Channel {
  readonly name: string;
  readonly column: number;
  readonly kind: ChannelKind;
  /** -1 for a temperature or reference channel of the whole plate. */
  readonly cell: number;
  readonly plane: number;
  /** Fibre direction, radians, counterclockwise from +x; NaN for temperature. */
  readonly directionRad: number;
  /** bragg: unstrained wavelength, metres. spectral-shift: reference reading, hertz. Else 0. */
  readonly rest: number;
  /** bragg: (1 - pe), dimensionless. spectral-shift: hertz per unit strain. strain: 1. */
  readonly strainGain: number;
  /** bragg: 1/K. spectral-shift: Hz/K. strain: apparent strain, 1/K; 0 where compensated. At constant fibre length. */
  readonly thermalGain: number;
  /** `strain` only: temperature has been taken out already. */
  readonly compensated: boolean;
  /** A loose reference fibre: carries temperature only. */
  readonly strainFree: boolean;
  /** Line of the header that declares the channel (1-based), for links. */
  readonly line: number;
}

/** Whether the channel tells temperature and not strain. */
export function carriesTemperature(channel: Channel): boolean {
  return channel.kind === 'temperature' || channel.strainFree;
}

export interface Part {
  readonly name: string;
  /** Corners in metres, in order; closed implicitly. */
  readonly outlineM: readonly (readonly [number, number])[];
}

export interface DetectionSettings {
  /** Mean hours between false mechanical alarms for the whole plate. */
  readonly falseAlarmHours: number;
  /** Smallest change of strain worth reporting, dimensionless. */
  readonly smallestJump: number;
  /** Event kinds not reported. */
  readonly mute: readonly string[];
}

export interface DerivedSeries {
  readonly name: string;
  readonly expression: string;
}

/** How the rows are written. An ECSV log has the fixed form; a companion header describes a foreign table. */
export interface TableForm {
  readonly delimiter: string;
  readonly decimal: '.' | ',';
  /** Physical lines before the row of names. */
  readonly skipLines: number;
  readonly comment: string;
  /** Layout of a textual time column, '' for seconds or ISO 8601. */
  readonly timeFormat: string;
}

export interface LogHeader {
  readonly build: {
    readonly name: string;
    /** ISO 8601, '' where not given. */
    readonly started: string;
    readonly layerHeightM: number;
    readonly plannedLayers: number;
  };
  readonly plate: Plate;
  readonly planes: readonly Plane[];
  readonly cells: readonly Cell[];
  readonly channels: readonly Channel[];
  readonly columns: readonly Column[];
  /** Column indices of the named roles, -1 where absent. */
  readonly roles: { readonly time: number; readonly layer: number; readonly phase: number };
  readonly datum: { readonly fromS: number; readonly toS: number } | undefined;
  readonly parts: readonly Part[];
  /** Direction in which the recoater travels, radians; NaN where not given. */
  readonly recoaterDirectionRad: number;
  readonly detection: DetectionSettings;
  readonly derived: readonly DerivedSeries[];
  readonly table: TableForm;
}

/** Layer phases in the order of their codes in a row block. */
export const phases = ['recoat', 'expose', 'dwell'] as const;
export type Phase = (typeof phases)[number];
