// The columns of a simulated log, in the order in which they are written, and what each measures.
import type { Scenario } from './scenario.ts';

export interface SimulatedColumn {
  readonly name: string;
  readonly role: 'time' | 'layer' | 'phase' | 'temperature' | 'fibre';
  /** Spelled as in the file, '' where none. */
  readonly unit: string;
  readonly datatype: 'float64' | 'int32' | 'string';
  readonly decimals: number;
  /** Indices, -1 where none. */
  readonly cell: number;
  readonly plane: number;
  /** NaN where none. */
  readonly directionRad: number;
  /** bragg: wavelength without strain at rest, nm; else 0. */
  readonly restNm: number;
}

const none = { unit: '', decimals: 0, cell: -1, plane: -1, directionRad: NaN, restNm: 0 } as const;

export function columnsOf(scenario: Scenario): SimulatedColumn[] {
  const { fibres, temperature, cells, planes, rateHz } = scenario;
  const timeDecimals = Math.max(scenario.timeJitterS > 0 || rateHz > 1 ? 3 : 1, Math.ceil(Math.log10(rateHz)) + 1);
  const columns: SimulatedColumn[] = [
    { ...none, name: 'time', role: 'time', unit: 's', datatype: 'float64', decimals: timeDecimals },
    { ...none, name: 'layer', role: 'layer', datatype: 'int32' },
  ];
  if (scenario.writePhase) columns.push({ ...none, name: 'phase', role: 'phase', datatype: 'string' });
  const heat = {
    ...none,
    role: 'temperature',
    unit: 'deg_C',
    datatype: 'float64',
    decimals: temperature.decimals,
  } as const;
  if (temperature.per === 'plate') columns.push({ ...heat, name: 'plate_T' });
  const unit = { bragg: 'nm', 'spectral-shift': 'GHz', strain: 'um/m' }[fibres.kind];
  let grating = 0;
  cells.forEach((cell, cellIndex) => {
    if (temperature.per === 'cell') columns.push({ ...heat, name: `${cell.name}_T`, cell: cellIndex });
    planes.forEach((plane, planeIndex) => {
      for (const directionRad of fibres.directionsRad) {
        // Rests that no formula would give: the maker's scatter of half a step, rounded as a data sheet gives it.
        const scatter = 0.4 * Math.sin(12.9898 * (grating + 1));
        const restM = fibres.firstRestM + fibres.restStepM * (grating++ + scatter);
        columns.push({
          name: `${cell.name}_${plane.name}_${directionName(directionRad)}`,
          role: 'fibre',
          unit,
          datatype: 'float64',
          decimals: fibres.decimals,
          cell: cellIndex,
          plane: planeIndex,
          directionRad,
          restNm: fibres.kind === 'bragg' ? Number((restM * 1e9).toFixed(3)) : 0,
        });
      }
    });
  });
  return columns;
}

function directionName(directionRad: number): string {
  return degrees(directionRad).replace('-', 'm').replace('.', 'p');
}

/** Degrees with no more digits than they need. */
export function degrees(radians: number): string {
  return String(Number(((radians * 180) / Math.PI).toFixed(3)));
}
