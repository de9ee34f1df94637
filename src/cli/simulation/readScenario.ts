// The YAML text of a scenario -> Scenario, or what is wrong with it and where. Quantities are written with their units
// as in a log's header ('30 mm', '20 um/m'); a size may also be given in multiples of one reading's noise ('5 sigma').
import { sizeText } from '../../core/header/resolve/checkLayout.ts';
import { parseHeader } from '../../core/header/parseHeader.ts';
import { positionAt, sourceText } from '../../core/header/yaml/sourceText.ts';
import { yamlPlaces } from '../../core/header/yaml/yamlPlaces.ts';
import type { Problem } from '../../core/problem.ts';
import { polygonArea } from './buildClock.ts';
import { checkTimes } from './checkTimes.ts';
import { columnsOf, degrees } from './columns.ts';
import { headerText } from './headerText.ts';
import { readEvents } from './readEvents.ts';
import { readPlanes, readPlate } from './readPlate.ts';
import type { FibreScenario, Moment, PartScenario, PlateScenario, Scenario } from './scenario.ts';
import { ScenarioSection } from './scenarioSection.ts';

const micro = 1e-6;
/** A part of less, a square of 0.1 mm, is a slip. */
const leastAreaM2 = 1e-8;

export type ScenarioResult =
  { readonly ok: true; readonly scenario: Scenario } | { readonly ok: false; readonly problems: readonly Problem[] };

export function readScenario(text: string): ScenarioResult {
  const source = sourceText(text);
  const places = yamlPlaces(source, source.text);
  const problems: Problem[] = places.document.errors.map((error) => {
    const { line, column } = positionAt(source, error.pos[0]);
    return {
      range: { line, column, endLine: line, endColumn: column + 1 },
      severity: 'error' as const,
      code: 'scenario-yaml',
      message: `the YAML cannot be read here: ${error.message}`,
    };
  });
  if (problems.length > 0) return { ok: false, problems };
  const top = new ScenarioSection(places, [], places.value ?? {}, problems);
  const { scenario, moments } = readTop(top);
  // What can be checked only of all together, once each by itself is right.
  if (problems.length === 0) checkTimes(scenario, moments, top);
  if (problems.length === 0) checkHeader(scenario, top);
  return problems.length > 0 ? { ok: false, problems } : { ok: true, scenario };
}

/** A log whose own header is refused would be of no use. */
function checkHeader(scenario: Scenario, top: ScenarioSection): void {
  for (const { severity, message } of parseHeader(headerText(scenario)).problems) {
    if (severity === 'error') top.sayAt([], `the header of the log would be refused: ${message}`);
  }
}

function readTop(top: ScenarioSection): { readonly scenario: Scenario; readonly moments: readonly Moment[] } {
  if (top.whole('scenario', undefined, 1) > 1) top.say('scenario', 'only version 1 is known; write 1');
  const plate = readPlate(top.section('plate', true));
  const layer = readLayer(top.section('layer'));
  const build = readBuild(top.section('build', true));
  const warmUpS = top.quantity('warm_up', 'time', 180, 0);
  const bare = {
    seed: top.whole('seed', 1, 0, 2 ** 31),
    build,
    rateHz: top.quantity('rate', 'frequency', 1, 0.001, 10000),
    timeJitterS: top.quantity('time_jitter', 'time', 0, 0),
    warmUpS,
    plate,
    planes: readPlanes(top, plate),
    cells: readCells(top, plate),
    fibres: readFibres(top.section('fibres')),
    temperature: readTemperature(top.section('temperature')),
    noise: readNoise(top.section('noise')),
    layer,
    heat: readHeat(top.section('heat')),
    parts: top.entries('parts').map(([name, part]) => readPart(name, part, plate)),
    recoater: readRecoater(top.section('recoater')),
    datum: readDatum(top.section('datum'), warmUpS),
    writePhase: top.flag('write_phase', false),
  };
  const channels = columnsOf({ ...bare, pauses: [], breaks: [], strikes: [], faults: [] }).map(({ name }) => name);
  const { events, moments } = readEvents(top, bare.parts, plate, channels);
  top.finish();
  return { scenario: { ...bare, ...events }, moments };
}

function readBuild(section: ScenarioSection): Scenario['build'] {
  const layers = section.whole('layers', undefined, 1, 1e6);
  const build = {
    name: section.text('name', 'simulated build'),
    started: section.text('started', ''),
    layerHeightM: section.quantity('layer_height', 'length', 40e-6, 1e-6, 1e-3),
    layers,
    plannedLayers: section.whole('planned_layers', Number.isFinite(layers) ? layers : 1, 1, 1e6),
  };
  section.finish();
  return build;
}

/** `cells: {B2: [75 mm, 75 mm]}`, or a grid: `cells: {columns: 3, rows: 3, margin: 50 mm}`, named A1, B1, A2 ... */
function readCells(top: ScenarioSection, plate: PlateScenario): Scenario['cells'] {
  const section = top.section('cells', true);
  if (section.has('columns')) {
    const [columns, rows] = [section.whole('columns', undefined, 1, 26), section.whole('rows', undefined, 1, 99)];
    const margin = section.quantity('margin', 'length', 0.04, 0);
    section.finish();
    const room = Math.min(...plate.sizeM.filter((_, axis) => [columns, rows][axis]! > 1)) / 2;
    if (margin >= room) {
      const limit = `${Number((room * 1e3).toPrecision(6))} mm`;
      section.say(
        'margin',
        `this leaves no room for the cells on a plate of ${sizeText(plate.sizeM)}; give less than ${limit}`,
      );
    }
    const place = (i: number, n: number, size: number): number =>
      n === 1 ? size / 2 : margin + (i * (size - 2 * margin)) / (n - 1);
    return Array.from({ length: (columns || 1) * (rows || 1) }, (_, i) => ({
      name: `${String.fromCharCode(65 + (i % columns))}${Math.floor(i / columns) + 1}`,
      xM: place(i % columns, columns, plate.sizeM[0]),
      yM: place(Math.floor(i / columns), rows, plate.sizeM[1]),
    }));
  }
  const cells = section.names().map((name) => {
    const [xM, yM] = section.point(name, plate.sizeM) ?? [NaN, NaN];
    return { name, xM, yM };
  });
  if (cells.length === 0) top.say('cells', "give at least one, such as '{B2: [75 mm, 75 mm]}'");
  return cells;
}

function readFibres(section: ScenarioSection): FibreScenario {
  const kind = section.choice('kind', ['bragg', 'spectral-shift', 'strain'], 'bragg');
  const directions = section
    .list('directions')
    .map((value, i) => section.quantityAt(['directions', i], value, 'angle'));
  const written = directions.map(degrees);
  written.forEach((name, i) => {
    if (written.indexOf(name) === i || Number.isNaN(directions[i])) return;
    section.sayAt(['directions', i], `${name} deg is there twice, so two columns would bear one name; give each once`);
  });
  const shift = kind === 'spectral-shift';
  const fibres = {
    kind,
    directionsRad: directions.length > 0 ? directions : [0, Math.PI / 4, Math.PI / 2],
    firstRestM: section.quantity('first_rest', 'length', 1530e-9, 1e-7, 1e-5),
    restStepM: section.quantity('rest_step', 'length', 1.9e-9),
    strainGain: shift
      ? section.quantity('strain_slope', 'frequency per strain', -0.1509e15)
      : section.number('strain_gain', 0.78),
    thermalGain: shift
      ? section.quantity('thermal_slope', 'frequency per kelvin', -1.165e9)
      : section.quantity('thermal_gain', 'per kelvin', 6.5e-6),
    compensated: section.flag('compensated', false),
    decimals: section.whole('decimals', { bragg: 4, 'spectral-shift': 3, strain: 2 }[kind], 0, 9),
    directionErrorRad: section.quantity('direction_error', 'angle', 0.01, 0),
    gainError: section.number('gain_error', 0.005, 0, 0.5),
  };
  section.finish();
  return fibres;
}

function readTemperature(section: ScenarioSection): Scenario['temperature'] {
  const temperature = {
    per: section.choice('per', ['cell', 'plate', 'none'], 'cell'),
    noiseK: section.quantity('noise', 'temperature', 0.02, 0),
    lagS: section.quantity('lag', 'time', 1, 0),
    decimals: section.whole('decimals', 2, 0, 6),
  };
  section.finish();
  return temperature;
}

function readNoise(section: ScenarioSection): Scenario['noise'] {
  const noise = {
    white: section.quantity('white', 'strain', 0.8 * micro, 0),
    tailDegrees: section.number('tail_degrees', 0, 0),
    slow: section.quantity('slow', 'strain', 0.3 * micro, 0),
    slowTimeS: section.quantity('slow_time', 'time', 40, 1e-3),
    pink: section.quantity('pink', 'strain', 0, 0),
    common: section.quantity('common', 'strain', 0, 0),
  };
  if (noise.tailDegrees !== 0 && noise.tailDegrees <= 2) {
    section.say(
      'tail_degrees',
      'the variance is not finite; give more than 2 degrees of freedom, or 0 for normal noise',
    );
  }
  section.finish();
  return noise;
}

function readLayer(section: ScenarioSection): Scenario['layer'] {
  const layer = {
    recoatS: section.quantity('recoat', 'time', 9, 0),
    exposeS: section.quantity('expose', 'time', 24, 0.01),
    dwellS: section.quantity('dwell', 'time', 3, 0),
    jitter: section.number('jitter', 0.01, 0, 0.5),
    drift: section.number('drift', 0.05, 0, 0.5),
  };
  section.finish();
  return layer;
}

function readHeat(section: ScenarioSection): Scenario['heat'] {
  const zeroC = 273.15;
  const heat = {
    startC: section.quantity('start', 'temperature', 74 + zeroC) - zeroC,
    setC: section.quantity('set', 'temperature', 80 + zeroC) - zeroC,
    plateTimeS: section.quantity('plate_time', 'time', 400, 1),
    wanderK: section.quantity('wander', 'temperature', 0.1, 0),
    wanderTimeS: section.quantity('wander_time', 'time', 90, 0.1),
    exposureK: section.quantity('exposure', 'temperature', 1.5, 0),
    exposureTimeS: section.quantity('exposure_time', 'time', 8, 0.01),
    fadeHeightM: section.quantity('fade_height', 'length', 3e-3, 1e-6),
    recoatDipK: section.quantity('recoat_dip', 'temperature', 0.3, 0),
  };
  section.finish();
  return heat;
}

function readPart(name: string, section: ScenarioSection, plate: PlateScenario): PartScenario {
  const corners = section.list('outline').map((value, i) => section.pointAt(['outline', i], value, plate.sizeM));
  if (corners.length < 3) section.say('outline', 'needs three corners or more');
  else if (Math.abs(polygonArea(corners)) < leastAreaM2)
    section.say('outline', 'these corners enclose no area; give them in order around the part');
  const part = {
    name,
    outlineM: corners,
    shrinkage: section.quantity('shrinkage', 'strain', 150 * micro, 0, 0.01),
    shrinkageHeightM: section.quantity('shrinkage_height', 'length', 4e-3, 1e-6),
    anisotropy: section.number('anisotropy', 0.2, -1, 1),
    directionRad: section.quantity('direction', 'angle', 0),
    cycle: section.quantity('cycle', 'strain', 8 * micro, 0, 0.01),
    scanTurnRad: section.quantity('scan_turn', 'angle', (67 * Math.PI) / 180),
  };
  section.finish();
  return part;
}

function readRecoater(section: ScenarioSection): Scenario['recoater'] {
  const recoater = {
    directionRad: section.quantity('direction', 'angle', Math.PI / 2),
    rub: section.quantity('rub', 'strain', 0.3 * micro),
  };
  section.finish();
  return recoater;
}

function readDatum(section: ScenarioSection, warmUpS: number): Scenario['datum'] {
  const datum = {
    fromS: section.quantity('from', 'time', warmUpS / 3, 0),
    toS: section.quantity('to', 'time', warmUpS, 0),
  };
  section.finish();
  return datum;
}
