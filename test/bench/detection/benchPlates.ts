// Builds in which nothing breaks: plate, cells, fibres, noise, layers, heat and parts, all drawn.
import type { RandomStream } from '../../../src/cli/simulation/random.ts';
import type { PartScenario, Scenario } from '../../../src/cli/simulation/scenario.ts';
import { degree, micro, milli, pick } from './draw.ts';

const metals = [
  {
    material: 'Al 6061-T6',
    youngsModulusPa: 68.9e9,
    poissonsRatio: 0.33,
    thermalExpansionPerK: 23.6e-6,
    yieldStressPa: 276e6,
  },
  { material: '304', youngsModulusPa: 193e9, poissonsRatio: 0.29, thermalExpansionPerK: 17.2e-6, yieldStressPa: 215e6 },
  { material: 'H13', youngsModulusPa: 210e9, poissonsRatio: 0.3, thermalExpansionPerK: 11.5e-6, yieldStressPa: 1500e6 },
  {
    material: 'Ti-6Al-4V',
    youngsModulusPa: 113.8e9,
    poissonsRatio: 0.342,
    thermalExpansionPerK: 8.6e-6,
    yieldStressPa: 880e6,
  },
];

const fibreLayouts = [
  [0, 45, 90],
  [0, 60, 120],
  [0, 45, 90, 135],
  [15, 75, 135],
  [0, 30, 60, 90, 120, 150],
];

export function plainBuild(index: number, random: RandomStream, rateHz: number, lengthS: number): Scenario {
  const sizeM: [number, number] = [random.between(0.12, 0.4), random.between(0.12, 0.4)];
  const thicknessM = random.between(0.015, 0.04);
  const plate = {
    ...pick(random, metals),
    sizeM,
    thicknessM,
    bendingShare: random.between(0.2, 1),
    restraint: random.between(0, 0.06),
  };
  const planes = random.uniform() < 0.3 ? [-0.3, 0.3] : [pick(random, [0.3, 0.2, -0.2])];
  const layer = {
    recoatS: random.between(6, 14),
    exposeS: random.between(8, 50),
    dwellS: random.between(0.5, 5),
    jitter: random.between(0.001, 0.03),
    drift: random.between(0, 0.2),
  };
  const layers = Math.floor((lengthS - 300) / (layer.recoatS + layer.exposeS + layer.dwellS));
  const temperaturePer = pick(random, ['cell', 'cell', 'cell', 'cell', 'plate', 'none'] as const);
  return {
    seed: 1000 + index,
    build: {
      name: `bench ${index + 1}`,
      started: '',
      layerHeightM: random.between(20, 60) * micro,
      layers,
      plannedLayers: layers,
    },
    rateHz,
    timeJitterS: random.uniform() < 0.3 ? 0.05 / rateHz : 0,
    warmUpS: 300,
    plate,
    planes: planes.map((share, i) => ({
      name: i === 0 && planes.length > 1 ? 'low' : 'up',
      heightM: share * thicknessM,
    })),
    cells: scatterCells(random, sizeM),
    fibres: fibresOf(random, temperaturePer === 'none'),
    temperature: { per: temperaturePer, noiseK: random.between(0.005, 0.04), lagS: random.between(0, 2), decimals: 3 },
    noise: noiseOf(random),
    layer,
    heat: {
      startC: random.between(60, 80),
      setC: 80,
      plateTimeS: random.between(200, 900),
      wanderK: random.between(0.02, 0.3),
      wanderTimeS: random.between(30, 300),
      // With one sensor for the whole plate, what a cell feels beyond it stays in its strain.
      exposureK: temperaturePer === 'plate' ? random.between(0.05, 0.4) : random.between(0.3, 2),
      exposureTimeS: random.between(5, 20),
      fadeHeightM: random.between(1, 6) * milli,
      recoatDipK: random.between(0, 0.5),
    },
    parts: partsOf(random, sizeM),
    recoater: { directionRad: pick(random, [0, 90, 180]) * degree, rub: random.between(0, 0.6) * micro },
    datum: { fromS: 120, toS: 300 },
    pauses: [],
    breaks: [],
    strikes: [],
    faults: [],
    writePhase: random.uniform() < 0.5,
  };
}

/** A grid, or the same number of places pushed off it. */
function scatterCells(random: RandomStream, [width, depth]: readonly [number, number]): Scenario['cells'] {
  const columns = 2 + Math.floor(random.uniform() * 4);
  const rows = 2 + Math.floor(random.uniform() * 3);
  const push = random.uniform() < 0.5 ? 0 : 0.25;
  return Array.from({ length: columns * rows }, (_, i) => {
    const off = (): number => random.between(-push, push);
    return {
      name: `${String.fromCharCode(65 + (i % columns))}${Math.floor(i / columns) + 1}`,
      xM: (((i % columns) + 0.5 + off()) / columns) * width,
      yM: ((Math.floor(i / columns) + 0.5 + off()) / rows) * depth,
    };
  });
}

function fibresOf(random: RandomStream, compensated: boolean): Scenario['fibres'] {
  const kind = compensated ? 'strain' : pick(random, ['bragg', 'bragg', 'spectral-shift', 'strain'] as const);
  return {
    kind,
    directionsRad: pick(random, fibreLayouts).map((degrees) => degrees * degree),
    firstRestM: 1530e-9,
    restStepM: 1.1e-9,
    strainGain: { bragg: 0.78, 'spectral-shift': -0.1509e15, strain: 1 }[kind],
    thermalGain: { bragg: 6.5e-6, 'spectral-shift': -1.165e9, strain: 0 }[kind],
    compensated,
    decimals: { bragg: 4, 'spectral-shift': 3, strain: 2 }[kind],
    directionErrorRad: random.between(0, 2) * degree,
    gainError: random.between(0, 0.01),
  };
}

function noiseOf(random: RandomStream): Scenario['noise'] {
  const white = random.between(0.5, 1.6) * micro;
  return {
    white,
    tailDegrees: pick(random, [0, 0, 3, 4, 6]),
    slow: pick(random, [0, 0.3, 0.6, 1]) * white,
    slowTimeS: random.between(5, 120),
    pink: pick(random, [0, 0, 0.3, 0.6]) * white,
    common: pick(random, [0, 0, 0.2]) * white,
  };
}

function partsOf(random: RandomStream, [width, depth]: readonly [number, number]): PartScenario[] {
  const count = 1 + Math.floor(random.uniform() * 4);
  return Array.from({ length: count }, (_, i) => {
    // Side by side, with gaps, each of its own depth.
    const [x0, x1] = [((i + 0.12) / count) * width, ((i + 0.88) / count) * width];
    const y0 = random.between(0.08, 0.4) * depth;
    const y1 = random.between(0.55, 0.92) * depth;
    return {
      name: `part ${i + 1}`,
      outlineM: [
        [x0, y0],
        [x1, y0],
        [x1, y1],
        [x0, y1],
      ],
      shrinkage: random.between(50, 350) * micro,
      shrinkageHeightM: random.between(2, 8) * milli,
      anisotropy: random.between(-0.4, 0.4),
      directionRad: random.between(0, Math.PI),
      cycle: random.between(1, 12) * micro,
      scanTurnRad: pick(random, [0, 67, 67, 90]) * degree,
    };
  });
}
