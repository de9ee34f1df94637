// What breaks do to the strain at the cells: a fixed pattern over the plate (a kernel, scaled so that its strongest cell
// changes by the asked size along its strongest direction) times a course in time. Lasting breaks rise over a given
// time and stay; a recoater strike is a half sine that goes back, with a smaller swing after it.
import type { BuildClock } from './buildClock.ts';
import { add, heightFactor, kernelField, largestStrain, scaled, unitTensor } from './plateField.ts';
import type { Field, Tensor } from './plateField.ts';
import type { BreakScenario, Scenario, Size, StrikeScenario } from './scenario.ts';

/** One break or strike, ready to run. */
export interface Course {
  readonly kind: BreakScenario['kind'] | 'strike';
  readonly label: string;
  readonly fromS: number;
  /** When a strike has gone by; when a lasting break has reached its size. */
  readonly toS: number;
  readonly part: number;
  readonly loss: number;
  readonly originM: readonly [number, number];
  /** Full change per plane and cell. */
  readonly pattern: readonly (readonly Tensor[])[];
}

export function sizeAsStrain(size: Size, sigma: number): number {
  return 'strain' in size ? size.strain : size.sigmas * sigma;
}

/** `sigma`: standard deviation of one reading along one fibre, temperature taken out. */
export function breakCourses(scenario: Scenario, clock: BuildClock, sigma: number): Course[] {
  const partIndex = (name: string): number => scenario.parts.findIndex((part) => part.name === name);
  const lasting = scenario.breaks.map((item): Course => {
    const fromS = clock.timeOf(item.at);
    const field = kernelField(item.kernel, scenario.plate.poissonsRatio);
    const size = sizeAsStrain(item.size, sigma) * item.sign;
    return {
      kind: item.kind,
      label: item.label,
      fromS,
      toS: fromS + item.overS,
      part: partIndex(item.part),
      loss: item.loss,
      originM: originOf(item),
      pattern: patternOf(scenario, field, size),
    };
  });
  const strikes = scenario.strikes.map((item): Course => {
    const fromS = clock.timeOf(item.at);
    return {
      kind: 'strike',
      label: item.label,
      fromS,
      toS: fromS + 2 * item.lastsS,
      part: partIndex(item.part),
      loss: 0,
      originM: item.originM,
      pattern: patternOf(scenario, strikeField(item, scenario.recoater.directionRad), sizeAsStrain(item.size, sigma)),
    };
  });
  return [...lasting, ...strikes];
}

function originOf({ kernel }: BreakScenario): readonly [number, number] {
  const [[x, y], [tx, ty]] = [kernel.originM, kernel.toM];
  return kernel.shape === 'edge' ? [(x + tx) / 2, (y + ty) / 2] : [x, y];
}

/** Strain along the blade's travel at the cells that lie under the blade when it strikes. */
function strikeField(strike: StrikeScenario, travelRad: number): Field {
  const tensor = unitTensor(travelRad, -0.2);
  const [cos, sin] = [Math.cos(travelRad), Math.sin(travelRad)];
  return (x, y) => {
    const [dx, dy] = [x - strike.originM[0], y - strike.originM[1]];
    const across = (dx * cos + dy * sin) / strike.widthM;
    const along = (dy * cos - dx * sin) / strike.reachM;
    return scaled(tensor, Math.exp(-(across * across + along * along) / 2));
  };
}

function patternOf(scenario: Scenario, field: Field, size: number): Tensor[][] {
  const raw = scenario.planes.map(({ heightM }) =>
    scenario.cells.map(({ xM, yM }) => scaled(field(xM, yM), heightFactor(scenario.plate, heightM))),
  );
  const largest = Math.max(...raw.flat().map(largestStrain));
  return raw.map((cells) => cells.map((tensor) => scaled(tensor, largest > 0 ? size / largest : 0)));
}

/** Share of the full pattern that is there at a time. */
export function shareAt(course: Course, timeS: number): number {
  const lasted = timeS - course.fromS;
  if (lasted < 0) return 0;
  if (course.kind !== 'strike')
    return course.toS > course.fromS ? Math.min(1, lasted / (course.toS - course.fromS)) : 1;
  const half = (course.toS - course.fromS) / 2;
  if (lasted < half) return Math.sin((Math.PI * lasted) / half);
  return lasted < 2 * half ? -0.3 * Math.sin((Math.PI * (lasted - half)) / half) : 0;
}

/** Adds what all breaks give at one plane and cell. `shares`: shareAt of each course. */
export function addBreaks(
  sum: Tensor,
  courses: readonly Course[],
  shares: Float64Array,
  plane: number,
  cell: number,
): void {
  for (let i = 0; i < courses.length; i++) {
    if (shares[i] !== 0) add(sum, courses[i]!.pattern[plane]![cell]!, shares[i]!);
  }
}
