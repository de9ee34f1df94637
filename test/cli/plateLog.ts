// A small log of its own for tests of the command: nine cells with three fibres each, given as strain without any
// temperature in it, seeded noise of one microstrain, and what is asked for on top: steps in the metal, odd rows.
import { RandomStream } from '../../src/cli/simulation/random.ts';
import { normal } from '../support/normalNoise.ts';

export interface PlateLogSketch {
  /** Rows, one a second. Default 900. */
  readonly rows?: number;
  readonly seed?: number;
  /** From `at` on (row from 0), strain along x, y and the shear of one cell and fainter ones of the others. */
  readonly steps?: readonly { readonly at: number; readonly cell: number; readonly size: number }[];
  /** Strain added to every cell, microstrain per layer along y. */
  readonly drift?: number;
  /** Of each cell's fibres, degrees. Default 0, 45, 90. */
  readonly directions?: readonly number[];
  /** Strain that a channel adds to what it measures, microstrain; cell, fibre and row count from 0. */
  readonly fault?: (cell: number, fibre: number, row: number) => number;
  /** 0 leaves them out. */
  readonly plannedLayers?: number;
  /** Lines put in place of rows, by row. */
  readonly instead?: Readonly<Record<number, string>>;
}

export const rowsPerLayer = 30;
export const cellNames = ['A1', 'B1', 'C1', 'A2', 'B2', 'C2', 'A3', 'B3', 'C3'] as const;
const places = [40, 100, 160] as const;
const usualDirections: readonly number[] = [0, 45, 90];

export function plateLogLines(sketch: PlateLogSketch = {}): string[] {
  return [...headerLines(sketch), ...rowLines(sketch)];
}

export function plateLog(sketch: PlateLogSketch = {}): string {
  return `${plateLogLines(sketch).join('\n')}\n`;
}

/** Such a log with four fibres a cell, of which that of B2 at 45 degrees walks away from row 900 on. */
export function wanderingLog(rows: number): string {
  const random = new RandomStream(9, 'walk');
  let walk = 0;
  const fault = (cell: number, fibre: number, row: number): number => {
    if (cell !== 4 || fibre !== 1) return 0;
    if (row >= 900) walk += 1.5 * random.normal() + 0.3;
    return walk;
  };
  return plateLog({ rows, directions: [0, 45, 90, 135], fault });
}

/** Line of row `row` (from 0) in the file. */
export function lineOfRow(row: number): number {
  return headerLines({}).length + 1 + row;
}

function headerLines({ plannedLayers = 60, directions = usualDirections }: PlateLogSketch): string[] {
  const channels = cellNames.flatMap((cell) => directions.map((direction) => [cell, direction] as const));
  const planned = plannedLayers > 0 ? `, planned_layers: ${plannedLayers}` : '';
  const yaml = [
    '%ECSV 1.0',
    '---',
    "delimiter: ','",
    'datatype:',
    '- {name: time, unit: s, datatype: float64}',
    '- {name: layer, datatype: int32}',
    ...channels.map(([cell, direction]) => `- {name: ${cell}_up_${direction}, unit: um/m, datatype: float64}`),
    'meta:',
    '  strain_log: 1',
    `  build: {name: tray 3, started: '2026-05-04T06:00:00Z', layer_height: 40 um${planned}}`,
    '  plate: {size: [200 mm, 200 mm], thickness: 25 mm, material: Al 6061-T6, youngs_modulus: 68.9 GPa,',
    '    poissons_ratio: 0.33, thermal_expansion: 23.6e-6 1/K, yield_stress: 276 MPa}',
    '  planes: {up: {height: 8 mm}}',
    '  cells:',
    ...cellNames.map((cell, at) => `    ${cell}: {at: [${places[at % 3]!} mm, ${places[Math.floor(at / 3)]!} mm]}`),
    '  channels:',
    ...channels.map(
      ([cell, direction]) =>
        `    ${cell}_up_${direction}: {cell: ${cell}, plane: up, kind: strain, direction: ${direction} deg, compensated: true}`,
    ),
    '  datum: {from: 10 s, to: 60 s}',
    '  parts:',
    '    bracket: {outline: [[70 mm, 20 mm], [130 mm, 20 mm], [130 mm, 80 mm], [70 mm, 80 mm]]}',
    '    ring: {outline: [[20 mm, 110 mm], [140 mm, 110 mm], [140 mm, 170 mm], [20 mm, 170 mm]]}',
    'schema: astropy-2.0',
  ];
  const names = ['time', 'layer', ...channels.map(([cell, direction]) => `${cell}_up_${direction}`)];
  return [...yaml.map((line) => `# ${line}`), names.join(',')];
}

function rowLines(sketch: PlateLogSketch): string[] {
  const { rows = 900, seed = 1, steps = [], drift = 0, instead = {} } = sketch;
  const { directions = usualDirections, fault = () => 0 } = sketch;
  const noise = normal(seed);
  return Array.from({ length: rows }, (_, row) => {
    const readings = cellNames.flatMap((_, cell) => {
      const strain = [0, (drift * row) / rowsPerLayer, 0];
      for (const step of steps) {
        if (row < step.at) continue;
        const share = step.cell === cell ? 1 : apart(step.cell, cell) === 1 ? 0.35 : 0;
        strain[0]! -= 0.4 * step.size * share;
        strain[1]! += step.size * share;
        strain[2]! += 0.5 * step.size * share;
      }
      return directions.map(
        (degrees, fibre) => along(strain, (degrees * Math.PI) / 180) + noise() + fault(cell, fibre, row),
      );
    });
    const line = [
      `${row}.0`,
      String(Math.floor(row / rowsPerLayer)),
      ...readings.map((value) => value.toFixed(3)),
    ].join(',');
    return instead[row] ?? line;
  });
}

/** e(t) = ex cos² + ey sin² + gxy sin cos. */
function along([ex, ey, gxy]: readonly number[], angle: number): number {
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  return ex! * c * c + ey! * s * s + gxy! * s * c;
}

/** Steps from cell to cell along rows and columns. */
function apart(a: number, b: number): number {
  return Math.abs((a % 3) - (b % 3)) + Math.abs(Math.floor(a / 3) - Math.floor(b / 3));
}
