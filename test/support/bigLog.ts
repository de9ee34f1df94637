// Writes large invented logs quickly: random walks with the look of a real log, for benches and for tests of reading.
// Seeded; the same arguments give the same bytes. Nothing breaks in it: detection is judged elsewhere.
import { closeSync, openSync, writeSync } from 'node:fs';

export interface BigLogShape {
  /** Cells stand in rows of six. */
  readonly cells: number;
  /** Fibre directions in degrees, one channel each a cell. */
  readonly directions: readonly number[];
  readonly intervalS: number;
  readonly layerS: number;
  readonly seed: number;
}

export const bigLogShape: BigLogShape = {
  cells: 24,
  directions: [0, 45, 90, 135],
  intervalS: 0.25,
  layerS: 40,
  seed: 7,
};

/** Writes at least `bytes` bytes of whole lines; answers with the number of rows. */
export function writeBigLog(path: string, bytes: number, shape: BigLogShape = bigLogShape): number {
  const file = openSync(path, 'w');
  const random = xorshift(shape.seed);
  const values = new Float64Array(shape.cells * (shape.directions.length + 1));
  let written = writeSync(file, bigLogHeader(shape));
  let rows = 0;
  while (written < bytes) {
    const lines: string[] = [];
    for (let i = 0; i < 500; i++, rows++) lines.push(row(rows, values, shape, random));
    written += writeSync(file, `${lines.join('\n')}\n`);
  }
  closeSync(file);
  return rows;
}

export function bigLogHeader(shape: BigLogShape): string {
  const names = cellNames(shape);
  const columns = names.flatMap((cell) => [`${cell}_T`, ...shape.directions.map((d) => `${cell}_${d}`)]);
  const declared = columns.map(
    (name) => `# - {name: ${name}, unit: ${name.endsWith('_T') ? 'deg_C' : 'um/m'}, datatype: float64}`,
  );
  const cells = names.map(
    (name, i) => `#     ${name}: {at: [${20 + 40 * (i % 6)} mm, ${20 + 40 * Math.floor(i / 6)} mm]}`,
  );
  const channels = names.flatMap((cell) => [
    `#     ${cell}_T: {cell: ${cell}, kind: temperature}`,
    ...shape.directions.map((d) => `#     ${cell}_${d}: {cell: ${cell}, kind: strain, direction: ${d} deg}`),
  ]);
  return [
    '# %ECSV 1.0',
    '# ---',
    "# delimiter: ','",
    '# datatype:',
    '# - {name: time, unit: s, datatype: float64}',
    '# - {name: layer, datatype: int32}',
    ...declared,
    '# meta:',
    '#   strain_log: 1',
    '#   plate: {size: [250 mm, 250 mm], thickness: 30 mm, material: Al 6061-T6}',
    '#   cells:',
    ...cells,
    '#   channels:',
    ...channels,
    '# schema: astropy-2.0',
    ['time', 'layer', ...columns].join(','),
    '',
  ].join('\n');
}

function row(index: number, values: Float64Array, shape: BigLogShape, random: () => number): string {
  const time = index * shape.intervalS;
  const perCell = shape.directions.length + 1;
  let line = `${time.toFixed(2)},${Math.floor(time / shape.layerS)}`;
  for (let i = 0; i < values.length; i++) {
    // A sum of three uniforms is close enough to normal noise.
    const noise = random() + random() + random() - 1.5;
    const isTemperature = i % perCell === 0;
    values[i] = values[i]! * 0.9999 + 0.05 * (random() - 0.5);
    line += isTemperature
      ? `,${(80 + values[i]! + 0.05 * noise).toFixed(2)}`
      : `,${(values[i]! + 2 * noise).toFixed(1)}`;
  }
  return line;
}

function cellNames({ cells }: BigLogShape): string[] {
  return Array.from({ length: cells }, (_, i) => `${'ABCDEF'[i % 6]}${1 + Math.floor(i / 6)}`);
}

/** Marsaglia 2003, 32-bit xorshift; uniform in [0, 1). */
function xorshift(seed: number): () => number {
  let state = seed | 0 || 1;
  return () => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return (state >>> 0) / 4294967296;
  };
}
