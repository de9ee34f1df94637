// The `events` of a scenario: what breaks, strikes, pauses and falls sick, when, where and by how much.
import type { PartScenario, PlateScenario, Scenario } from './scenario.ts';
import type { BreakScenario, FaultScenario, KernelScenario, Moment, StrikeScenario } from './scenario.ts';
import type { ScenarioSection } from './scenarioSection.ts';

type Events = Pick<Scenario, 'pauses' | 'breaks' | 'strikes' | 'faults'>;

const breakKinds = ['release', 'crack', 'creep-off'] as const;
const faultKinds = ['dropout', 'stuck', 'spike', 'jump', 'wander'] as const;
const allKinds = [...breakKinds, 'strike', 'pause', ...faultKinds] as const;
/** A fault of which the scenario does not say how long it lasts. */
const untilTheEndS = Infinity;

/** What a kind of break does where the scenario does not say. */
const usual = {
  release: { overS: 0, widthM: 0.03, ratio: 0.5, sign: 1, loss: 0.2 },
  crack: { overS: 0, widthM: 0.02, ratio: -0.2, sign: 1, loss: 0 },
  'creep-off': { overS: 1200, widthM: 0.04, ratio: 0.2, sign: 1, loss: 0 },
} as const;

/** With the moments of all, in the order of the list. */
export function readEvents(
  top: ScenarioSection,
  parts: readonly PartScenario[],
  plate: PlateScenario,
  channelNames: readonly string[],
): { readonly events: Events; readonly moments: readonly Moment[] } {
  const moments: Moment[] = [];
  const pauses: Events['pauses'][number][] = [];
  const breaks: BreakScenario[] = [];
  const strikes: StrikeScenario[] = [];
  const faults: FaultScenario[] = [];
  for (const item of top.items('events')) {
    const kind = item.choice('kind', allKinds);
    const at = readMoment(item);
    moments.push(at);
    if (kind === 'pause') pauses.push({ at, lastsS: item.quantity('lasts', 'time', undefined, 0) });
    else if (kind === 'strike') strikes.push(readStrike(item, at, parts, plate));
    else if (isBreak(kind)) breaks.push(readBreak(item, kind, at, parts, plate));
    else faults.push(readFault(item, kind, at, channelNames));
    item.finish();
  }
  return { events: { pauses, breaks, strikes, faults }, moments };
}

function isBreak(kind: string): kind is (typeof breakKinds)[number] {
  return (breakKinds as readonly string[]).includes(kind);
}

function readMoment(item: ScenarioSection): Moment {
  const at = item.section('at', true);
  const moment = at.has('time')
    ? { timeS: at.quantity('time', 'time', undefined, 0) }
    : { layer: at.whole('layer', undefined, 1, 1e6), afterS: at.quantity('after', 'time', 0, 0) };
  at.finish();
  return moment;
}

function readBreak(
  item: ScenarioSection,
  kind: BreakScenario['kind'],
  at: Moment,
  parts: readonly PartScenario[],
  plate: PlateScenario,
): BreakScenario {
  const standard = usual[kind];
  const part = readPartName(item, parts);
  const sign = item.choice('sign', ['tension', 'compression'], 'tension') === 'tension' ? 1 : -1;
  return {
    kind,
    label: item.text('label', ''),
    at,
    overS: item.quantity('over', 'time', standard.overS, 0),
    size: item.size('size'),
    sign,
    kernel: readKernel(item, standard, placeOf(item, part, parts, plate), plate),
    part,
    loss: item.number('loss', standard.loss, 0, 1),
  };
}

function readKernel(
  item: ScenarioSection,
  standard: { readonly widthM: number; readonly ratio: number },
  originM: readonly [number, number],
  plate: PlateScenario,
): KernelScenario {
  return {
    shape: item.choice('shape', ['nucleus', 'patch', 'edge', 'exponential'], 'nucleus'),
    originM,
    toM: item.point('to', plate.sizeM) ?? originM,
    widthM: item.quantity('width', 'length', standard.widthM, 1e-4),
    directionRad: item.quantity('direction', 'angle', 0),
    ratio: item.number('ratio', standard.ratio, -1, 1),
  };
}

function readStrike(
  item: ScenarioSection,
  at: Moment,
  parts: readonly PartScenario[],
  plate: PlateScenario,
): StrikeScenario {
  const part = readPartName(item, parts);
  return {
    label: item.text('label', ''),
    at,
    lastsS: item.quantity('lasts', 'time', 2, 1e-3),
    originM: placeOf(item, part, parts, plate),
    size: item.size('size'),
    widthM: item.quantity('width', 'length', 0.02, 1e-4),
    reachM: item.quantity('reach', 'length', 0.08, 1e-4),
    part,
  };
}

function readFault(
  item: ScenarioSection,
  kind: FaultScenario['kind'],
  at: Moment,
  channelNames: readonly string[],
): FaultScenario {
  const channels = item.list('channels').map(String);
  if (channels.length === 0) item.say('channels', "name the columns that fall sick, such as '[B2_up_0]'");
  for (const name of channels) {
    if (!channelNames.includes(name))
      item.say('channels', `no column '${name}'; columns are ${channelNames.join(', ')}`);
  }
  return {
    kind,
    label: item.text('label', ''),
    at,
    lastsS: item.quantity('lasts', 'time', untilTheEndS, 0),
    channels,
    size: item.size('size', { strain: 100e-6 }),
    sign: item.choice('sign', ['tension', 'compression'], 'tension') === 'tension' ? 1 : -1,
    count: item.whole('count', 1, 1, 1e6),
  };
}

function readPartName(item: ScenarioSection, parts: readonly PartScenario[]): string {
  const name = item.text('part', '');
  const known = parts.map((part) => part.name);
  if (name !== '' && !known.includes(name)) item.say('part', `no part '${name}'; parts are ${known.join(', ')}`);
  return name;
}

/** The given origin, else the middle of the part's corners, else the middle of the plate. */
function placeOf(
  item: ScenarioSection,
  part: string,
  parts: readonly PartScenario[],
  plate: PlateScenario,
): readonly [number, number] {
  const given = item.point('origin', plate.sizeM);
  if (given) return given;
  const corners = parts.find(({ name }) => name === part)?.outlineM;
  if (!corners) return [plate.sizeM[0] / 2, plate.sizeM[1] / 2];
  const mean = (axis: 0 | 1): number => corners.reduce((sum, corner) => sum + corner[axis], 0) / corners.length;
  return [mean(0), mean(1)];
}
