// What happens in a drawn build: breaks from hardly above noise to gross, strikes, curling, laser stops, sick sensors.
import { columnsOf } from '../../../src/cli/simulation/columns.ts';
import type { RandomStream } from '../../../src/cli/simulation/random.ts';
import type {
  BreakScenario,
  FaultScenario,
  KernelScenario,
  KernelShape,
  PartScenario,
  Scenario,
  StrikeScenario,
} from '../../../src/cli/simulation/scenario.ts';
import { micro, pick } from './draw.ts';

/** What a break is there to measure; stands in its label. */
const sizeClasses = [
  'one cell, 5 sigma',
  'three cells, 3 sigma',
  'one cell, 8 sigma',
  'gross',
  'one cell, 3 sigma',
] as const;

export function withEvents(bare: Scenario, random: RandomStream, lengthS: number): Scenario {
  const breaks: BreakScenario[] = [];
  const strikes: StrikeScenario[] = [];
  const faults: FaultScenario[] = [];
  const pauses: Scenario['pauses'][number][] = [];
  const names = columnsOf(bare)
    .filter(({ role }) => role === 'fibre')
    .map(({ name }) => name);
  // Events at least this far apart, but here and there a second one comes soon after.
  const stepS = Math.max(400, 60 / bare.rateHz);
  for (let timeS = 1500 + random.between(0, stepS); timeS < lengthS - 1200; timeS += stepS * random.between(1, 2.5)) {
    const draw = random.uniform();
    if (draw < 0.62) breaks.push(lastingBreak(bare, random, timeS, breaks.length));
    else if (draw < 0.7) strikes.push(strikeOf(bare, random, timeS));
    else if (draw < 0.74 && breaks.every(({ kind }) => kind !== 'creep-off')) {
      breaks.push(creepOff(bare, random, timeS));
      timeS += 1800;
    } else if (draw < 0.79) pauses.push({ at: { timeS }, lastsS: random.between(60, 400) });
    else faults.push(faultOf(bare, random, timeS, names, faults));
  }
  return { ...bare, breaks, strikes, faults, pauses };
}

function lastingBreak(bare: Scenario, random: RandomStream, timeS: number, count: number): BreakScenario {
  const label = sizeClasses[count % sizeClasses.length]!;
  // A crack is local and opens across itself; a release lets go of a wider stretch both ways.
  const kind = label === 'gross' || label === 'three cells, 3 sigma' ? 'release' : 'crack';
  const kernel =
    label === 'three cells, 3 sigma'
      ? wideKernel(bare, random)
      : label === 'gross'
        ? anyKernel(bare, random)
        : narrowKernel(bare, random);
  const sigmas = {
    'one cell, 5 sigma': 5,
    'three cells, 3 sigma': 3 / meanShare(bare, kernel),
    'one cell, 8 sigma': 8,
    'one cell, 3 sigma': 3,
    gross: random.between(15, 60),
  }[label];
  return {
    kind,
    label,
    at: { timeS },
    overS: random.uniform() < 0.6 ? 0 : random.between(0, 2) / bare.rateHz,
    size: { sigmas },
    // Stored strain under a part is mostly pressure; letting go of it is tension.
    sign: random.uniform() < 0.85 ? 1 : -1,
    kernel: { ...kernel, ratio: kind === 'crack' ? random.between(-0.4, 0.1) : random.between(0.2, 0.9) },
    part: kind === 'release' ? nearestPart(bare, kernel.originM) : '',
    loss: kind === 'release' ? random.between(0, 0.25) : 0,
  };
}

/** Mean of a patch over the three cells that feel it most, as a share of the strongest. */
function meanShare({ cells }: Scenario, { originM: [x, y], widthM }: KernelScenario): number {
  const felt = cells.map(({ xM, yM }) => Math.exp(-(((xM - x) ** 2 + (yM - y) ** 2) / (2 * widthM ** 2))));
  const [first, second, third] = felt.sort((a, b) => b - a);
  return (first! + second! + third!) / (3 * first!);
}

/** Felt by one cell: a patch much narrower than the pitch, at or near a cell. */
function narrowKernel(bare: Scenario, random: RandomStream): KernelScenario {
  const cell = pick(random, bare.cells);
  const pitch = pitchOf(bare);
  const angle = random.between(0, 2 * Math.PI);
  const off = random.between(0, 0.15) * pitch;
  return kernelAt(random, 'patch', [cell.xM + off * Math.cos(angle), cell.yM + off * Math.sin(angle)], 0.22 * pitch);
}

/** Felt about alike by the three cells next to a place. */
function wideKernel(bare: Scenario, random: RandomStream): KernelScenario {
  const first = pick(random, bare.cells);
  const near = [...bare.cells]
    .sort((a, b) => Math.hypot(a.xM - first.xM, a.yM - first.yM) - Math.hypot(b.xM - first.xM, b.yM - first.yM))
    .slice(0, 3);
  const middle = (axis: 'xM' | 'yM'): number => near.reduce((sum, cell) => sum + cell[axis], 0) / near.length;
  return kernelAt(random, 'patch', [middle('xM'), middle('yM')], random.between(1.1, 1.5) * pitchOf(bare));
}

function anyKernel(bare: Scenario, random: RandomStream): KernelScenario {
  const [width, depth] = bare.plate.sizeM;
  const originM: [number, number] = [random.between(0.15, 0.85) * width, random.between(0.15, 0.85) * depth];
  const shape = pick(random, ['nucleus', 'patch', 'edge', 'exponential'] as const);
  return kernelAt(random, shape, originM, random.between(0.4, 0.9) * pitchOf(bare));
}

function kernelAt(
  random: RandomStream,
  shape: KernelShape,
  originM: readonly [number, number],
  widthM: number,
): KernelScenario {
  const reach = shape === 'edge' ? random.between(1, 2) * widthM : 0;
  const angle = random.between(0, 2 * Math.PI);
  return {
    shape,
    originM,
    toM: [originM[0] + reach * Math.cos(angle), originM[1] + reach * Math.sin(angle)],
    widthM,
    directionRad: random.between(0, Math.PI),
    ratio: random.between(-0.4, 0.8),
  };
}

function creepOff(bare: Scenario, random: RandomStream, timeS: number): BreakScenario {
  const [width, depth] = bare.plate.sizeM;
  const corner: [number, number] = [pick(random, [0.15, 0.85]) * width, pick(random, [0.15, 0.85]) * depth];
  return {
    kind: 'creep-off',
    label: 'creep-off',
    at: { timeS },
    overS: random.between(900, 2400),
    size: { strain: random.between(30, 80) * micro },
    sign: 1,
    kernel: kernelAt(random, 'exponential', corner, 0.8 * pitchOf(bare)),
    part: nearestPart(bare, corner),
    loss: 0,
  };
}

function strikeOf(bare: Scenario, random: RandomStream, timeS: number): StrikeScenario {
  const [width, depth] = bare.plate.sizeM;
  const layerS = bare.layer.recoatS + bare.layer.exposeS + bare.layer.dwellS;
  const layer = Math.max(1, Math.round((timeS - bare.warmUpS) / layerS));
  return {
    label: 'strike',
    at: { layer, afterS: random.between(0.2, 0.7) * bare.layer.recoatS },
    // Long enough to be seen at the rate, and never longer than a blade needs to pass.
    lastsS: Math.max(random.between(0.4, 3), 2.2 / bare.rateHz),
    originM: [random.between(0.2, 0.8) * width, random.between(0.2, 0.8) * depth],
    size: { sigmas: random.between(12, 40) },
    widthM: 0.35 * pitchOf(bare),
    reachM: random.between(0.8, 2) * pitchOf(bare),
    part: '',
  };
}

function faultOf(
  bare: Scenario,
  random: RandomStream,
  timeS: number,
  names: readonly string[],
  before: readonly FaultScenario[],
): FaultScenario {
  const kind = pick(random, ['dropout', 'stuck', 'spike', 'jump', 'wander'] as const);
  // A channel falls sick once only, so that each fault can be told apart.
  const sick = new Set(before.flatMap(({ channels }) => channels));
  const healthy = names.filter((name) => !sick.has(name));
  const dropoutS = random.between(30, 300);
  const stuckS = random.between(200, 600);
  // A wander has come to its size at its end: over one to six thousand seconds, or dozens of layers.
  const lastsS = { dropout: dropoutS, stuck: stuckS, spike: 300, jump: 1e9, wander: 8 * stuckS }[kind];
  return {
    kind,
    label: `sensor ${kind}`,
    at: { timeS },
    lastsS: Math.max(lastsS, 20 / bare.rateHz),
    channels: [pick(random, healthy.length > 0 ? healthy : names)],
    size: kind === 'spike' || kind === 'jump' ? { sigmas: random.between(15, 80) } : { sigmas: random.between(40, 90) },
    sign: random.uniform() < 0.5 ? 1 : -1,
    count: kind === 'spike' ? 1 + Math.floor(random.uniform() * 6) : 1,
  };
}

function nearestPart(bare: Scenario, [x, y]: readonly [number, number]): string {
  const middle = ({ outlineM }: PartScenario): [number, number] => [
    outlineM.reduce((sum, corner) => sum + corner[0], 0) / outlineM.length,
    outlineM.reduce((sum, corner) => sum + corner[1], 0) / outlineM.length,
  ];
  const far = (part: PartScenario): number => Math.hypot(middle(part)[0] - x, middle(part)[1] - y);
  return [...bare.parts].sort((a, b) => far(a) - far(b))[0]!.name;
}

/** Median distance from a cell to its nearest neighbour, metres. */
export function pitchOf({ cells }: Pick<Scenario, 'cells'>): number {
  const nearest = cells.map((a, i) =>
    Math.min(...cells.filter((_, j) => j !== i).map((b) => Math.hypot(a.xM - b.xM, a.yM - b.yM))),
  );
  return nearest.sort((a, b) => a - b)[Math.floor(nearest.length / 2)]!;
}
