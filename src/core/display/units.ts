// The units people read: spelling in files, label on screens, factor from SI. The one source of these, for quantities that
// are plotted (`quantities.ts`) and for single figures in texts.
import { measure } from './numberFormat.ts';

export interface Unit {
  /** ECSV/VOUnit spelling, for files. */
  readonly unit: string;
  /** For screens. */
  readonly unitLabel: string;
  /** Value on screen or in a file = SI value * scale. */
  readonly scale: number;
}

export const unitless = { unit: '', unitLabel: '', scale: 1 } as const;
export const microstrain = { unit: 'um/m', unitLabel: 'µm/m', scale: 1e6 } as const;
export const microstrainPerKelvin = { unit: 'um/m/K', unitLabel: 'µm/m per K', scale: 1e6 } as const;
export const degrees = { unit: 'deg', unitLabel: '°', scale: 180 / Math.PI } as const;
export const kelvin = { unit: 'K', unitLabel: 'K', scale: 1 } as const;
export const micrometres = { unit: 'um', unitLabel: 'µm', scale: 1e6 } as const;
export const millimetres = { unit: 'mm', unitLabel: 'mm', scale: 1e3 } as const;
export const perMetre = { unit: '1/m', unitLabel: '1/m', scale: 1 } as const;
export const newton = { unit: 'N', unitLabel: 'N', scale: 1 } as const;
export const newtonMetre = { unit: 'N m', unitLabel: 'N·m', scale: 1 } as const;
export const newtonPerMetre = { unit: 'N/m', unitLabel: 'N/m', scale: 1 } as const;
export const kilonewtonPerMetre = { unit: 'kN/m', unitLabel: 'kN/m', scale: 1e-3 } as const;
export const newtonMetrePerMetre = { unit: 'N m/m', unitLabel: 'N·m/m', scale: 1 } as const;
export const megapascal = { unit: 'MPa', unitLabel: 'MPa', scale: 1e-6 } as const;
export const gigapascal = { unit: 'GPa', unitLabel: 'GPa', scale: 1e-9 } as const;
export const kilojoulePerCubicMetre = { unit: 'kJ/m3', unitLabel: 'kJ/m³', scale: 1e-3 } as const;

/** An SI value as people read it, with about three significant digits: '−41.2 µm/m', '–' where undefined. */
export function measureIn(unit: Unit, value: number): string {
  return measure(value * unit.scale, unit.unitLabel);
}

/** How people read a unit that a file spells: 'um/m' -> 'µm/m', '(um/m)/s' -> '(µm/m)/s', 'deg_C' -> '°C'. */
export function labelOf(unit: string): string {
  return unit
    .replace(/\bum\/m\b/g, microstrain.unitLabel)
    .replace(/\bdeg_C\b/g, '°C')
    .replace(/\bdeg\b/g, degrees.unitLabel);
}
