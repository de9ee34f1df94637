// The header of a simulated log: ECSV 1.0 with the `strain_log` block, laid out to be read by people.
import { columnsOf, degrees } from './columns.ts';
import type { SimulatedColumn } from './columns.ts';
import type { Scenario } from './scenario.ts';

/** Header lines and the row of names, ready for the rows. */
export function headerText(scenario: Scenario): string {
  const columns = columnsOf(scenario);
  const lines = [
    '%ECSV 1.0',
    '---',
    "delimiter: ','",
    'datatype:',
    ...columns.map(datatypeLine),
    'meta:',
    ...strainLogLines(scenario).map((line) => `  ${line}`),
    'schema: astropy-2.0',
  ];
  return `${lines.map((line) => `# ${line}\n`).join('')}${columns.map(({ name }) => name).join(',')}\n`;
}

function datatypeLine({ name, unit, datatype }: SimulatedColumn): string {
  return `- {name: ${name}, ${unit === '' ? '' : `unit: ${unit}, `}datatype: ${datatype}}`;
}

/** The block as YAML lines without indent; also what a companion header holds. */
export function strainLogLines(scenario: Scenario): string[] {
  const { build, plate, planes, cells, parts, datum, recoater } = scenario;
  const started = build.started === '' ? '' : `started: '${build.started}', `;
  const map = (entries: readonly (readonly [string, string])[]): string[] =>
    entries.map(([name, value]) => `  ${name}: ${value}`);
  return [
    'strain_log: 1',
    `build: {name: ${plain(build.name)}, ${started}layer_height: ${number(build.layerHeightM * 1e6)} um, planned_layers: ${build.plannedLayers}}`,
    `plate: {size: ${place(plate.sizeM)}, thickness: ${millimetres(plate.thicknessM)}, material: ${plain(plate.material)}, youngs_modulus: ${number(plate.youngsModulusPa * 1e-9)} GPa,`,
    `  poissons_ratio: ${plate.poissonsRatio}, thermal_expansion: ${number(plate.thermalExpansionPerK * 1e6)}e-6 1/K, yield_stress: ${number(plate.yieldStressPa * 1e-6)} MPa}`,
    'planes:',
    ...map(planes.map(({ name, heightM }) => [plain(name), `{height: ${millimetres(heightM)}}`])),
    'cells:',
    ...map(cells.map(({ name, xM, yM }) => [plain(name), `{at: ${place([xM, yM])}}`])),
    ...defaultLines(scenario),
    'channels:',
    ...map(columnsOf(scenario).flatMap((column) => channelEntry(scenario, column))),
    `datum: {from: ${number(datum.fromS)} s, to: ${number(datum.toS)} s}`,
    ...(parts.length > 0 ? ['parts:'] : []),
    ...map(parts.map(({ name, outlineM }) => [plain(name), `{outline: [${outlineM.map(place).join(', ')}]}`])),
    `recoater: {direction: ${degrees(recoater.directionRad)} deg}`,
  ];
}

function defaultLines({ fibres }: Scenario): string[] {
  const gains = {
    bragg: `strain_gain: ${fibres.strainGain}, thermal_gain: ${number(fibres.thermalGain * 1e6)}e-6 1/K`,
    'spectral-shift': `strain_slope: ${number(fibres.strainGain * 1e-15)} GHz/(um/m), thermal_slope: ${number(fibres.thermalGain * 1e-9)} GHz/K`,
    // Readings without the fibre's own response to heat.
    strain: fibres.compensated ? 'compensated: true' : 'compensated: false, thermal_gain: 0 1/K',
  };
  return ['channel_defaults:', `  ${fibres.kind}: {${gains[fibres.kind]}}`];
}

function channelEntry(scenario: Scenario, column: SimulatedColumn): [string, string][] {
  const cell = scenario.cells[column.cell]?.name;
  if (column.role === 'temperature') {
    return [[column.name, cell === undefined ? '{kind: temperature}' : `{cell: ${cell}, kind: temperature}`]];
  }
  if (column.role !== 'fibre') return [];
  const { kind } = scenario.fibres;
  const rest = kind === 'bragg' ? `, rest: ${column.restNm.toFixed(3)} nm` : '';
  const plane = scenario.planes[column.plane]!.name;
  const direction = `direction: ${degrees(column.directionRad)} deg`;
  return [[column.name, `{cell: ${cell}, plane: ${plane}, kind: ${kind}, ${direction}${rest}}`]];
}

function place([x, y]: readonly [number, number]): string {
  return `[${millimetres(x)}, ${millimetres(y)}]`;
}

function millimetres(metres: number): string {
  return `${number(metres * 1e3)} mm`;
}

/** A name as YAML text, in quotes where it would read as something else. */
function plain(name: string): string {
  return /^[A-Za-z][\w .-]*$/.test(name) && !/^(true|false|null|yes|no|on|off|y|n)$/i.test(name)
    ? name
    : `'${name.replaceAll("'", "''")}'`;
}

/** Shortest form that is right to nine digits. */
function number(value: number): string {
  return String(Number(value.toPrecision(9)));
}
