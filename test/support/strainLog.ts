// Builds resolved headers and row blocks for tests of the strain step, without a file: a plate, cells and channels in SI.
import type { Channel, Column, LogHeader, Plate } from '../../src/core/header/logHeader.ts';
import type { RowBlock } from '../../src/core/table/rowBlock.ts';

const units: Record<string, readonly [number, number]> = {
  s: [1, 0],
  nm: [1e-9, 0],
  GHz: [1e9, 0],
  'um/m': [1e-6, 0],
  deg_C: [1, 273.15],
  K: [1, 0],
  '': [1, 0],
};

function column(name: string, unit = '', datatype = 'float64'): Column {
  const [toSiScale, toSiOffset] = units[unit]!;
  return { name, unit, datatype, toSiScale, toSiOffset };
}

/** 6061 aluminium, 250 x 250 x 25 mm. */
export const aluminiumPlate: Plate = {
  sizeM: [0.25, 0.25],
  thicknessM: 0.025,
  material: 'Al 6061-T6',
  youngsModulusPa: 68.9e9,
  poissonsRatio: 0.33,
  thermalExpansionPerK: 23.6e-6,
  yieldStressPa: 276e6,
  assumed: [],
};

const kindUnits = { temperature: 'deg_C', bragg: 'nm', 'spectral-shift': 'GHz', strain: 'um/m' } as const;

export interface ChannelSketch extends Partial<Omit<Channel, 'column'>> {
  readonly name: string;
  readonly kind: Channel['kind'];
  readonly directionDeg?: number;
  readonly unit?: string;
}

export interface HeaderSketch extends Partial<Omit<LogHeader, 'channels' | 'columns' | 'plate' | 'cells'>> {
  readonly channels: readonly ChannelSketch[];
  readonly plate?: Partial<Plate>;
  readonly cells?: LogHeader['cells'];
}

/** Columns: time, layer, then one per channel in order. */
export function header(sketch: HeaderSketch): LogHeader {
  const { channels, plate, cells, ...rest } = sketch;
  const cellCount = Math.max(0, ...channels.map((c) => (c.cell ?? 0) + 1));
  return {
    build: { name: '', started: '', layerHeightM: 40e-6, plannedLayers: 0 },
    plate: { ...aluminiumPlate, ...plate },
    planes: [{ name: 'up', heightM: 0.008 }],
    cells: cells ?? Array.from({ length: cellCount }, (_, i) => ({ name: `B${i + 1}`, xM: 0.05 + 0.05 * i, yM: 0.1 })),
    channels: channels.map(channel),
    columns: [
      column('time', 's'),
      column('layer', '', 'int32'),
      ...channels.map((c) => column(c.name, c.unit ?? kindUnits[c.kind])),
    ],
    roles: { time: 0, layer: 1, phase: -1 },
    datum: undefined,
    parts: [],
    recoaterDirectionRad: NaN,
    detection: { falseAlarmHours: 200, smallestJump: 5e-6, mute: [] },
    derived: [],
    table: { delimiter: ',', decimal: '.', skipLines: 0, comment: '#', timeFormat: '' },
    ...rest,
  };
}

function channel({ directionDeg, ...sketch }: ChannelSketch, index: number): Channel {
  const byKind = {
    temperature: { rest: 0, strainGain: 0, thermalGain: 0 },
    bragg: { rest: 1550e-9, strainGain: 0.78, thermalGain: 8.6e-6 + 0.22 * 0.55e-6 },
    'spectral-shift': { rest: 0, strainGain: -150.86e12, thermalGain: -1.2475e9 },
    strain: { rest: 0, strainGain: 1, thermalGain: 0 },
  }[sketch.kind];
  return {
    cell: 0,
    plane: sketch.kind === 'temperature' ? -1 : 0,
    directionRad: directionDeg === undefined ? NaN : (directionDeg * Math.PI) / 180,
    compensated: true,
    strainFree: false,
    line: index + 1,
    ...byKind,
    ...sketch,
    column: index + 2,
  };
}

/** A block of rows given as arrays in column order; lines and offsets are counted up. */
export function rowBlock(rows: readonly (readonly number[])[], firstRow = 0): RowBlock {
  const width = rows[0]?.length ?? 0;
  return {
    rows: rows.length,
    firstRow,
    columns: Array.from({ length: width }, (_, c) => Float64Array.from(rows, (row) => row[c]!)),
    lines: Float64Array.from(rows, (_, i) => 40 + firstRow + i),
    offsets: Float64Array.from(rows, (_, i) => 100 * (firstRow + i)),
  };
}
