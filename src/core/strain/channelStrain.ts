// One reading -> strain of the metal along the fibre, or temperature, as a straight line in the file's own unit.
// bragg: (reading - rest)/rest = strain_gain e + thermal_gain dT; spectral-shift: reading - rest = strain_gain e +
// thermal_gain dT (Kersey et al. 1997; Froggatt & Moore 1998). thermal_gain holds at constant fibre length, so the glue
// makes the fibre follow the metal and nothing of the glass's own expansion is left over; mechanical strain is then
// e - expansion dT. strain: reading = e + thermal_gain dT, for an interrogator that merely divides the shift by its gain.
// A loose reference fibre expands freely, so its response is thermal_gain + strain_gain glass expansion.
import type { Channel, LogHeader } from '../header/logHeader.ts';
import { thermometersOf } from '../header/resolve/thermometers.ts';

/** mechanical strain = (reading - zero) * perUnit - perKelvin * dT */
export interface StrainLine {
  /** Reading, in the file's unit, at which the fibre is at rest. */
  readonly zero: number;
  readonly perUnit: number;
  /** Apparent strain per kelvin that is not mechanical: thermal response over gain, plus the plate's expansion. */
  readonly perKelvin: number;
}

/** Expansion of fused silica, 1/K (Corning and Heraeus data, 0.5 to 0.55e-6; Kersey et al. 1997 use 0.55e-6). */
export const glassExpansionPerK = 0.55e-6;

export function strainLine(channel: Channel, header: LogHeader): StrainLine {
  const { toSiScale, toSiOffset } = header.columns[channel.column]!;
  const expansion = header.plate.thermalExpansionPerK;
  const zero = (channel.rest - toSiOffset) / toSiScale;
  switch (channel.kind) {
    case 'bragg':
      return {
        zero,
        perUnit: toSiScale / (channel.rest * channel.strainGain),
        perKelvin: channel.thermalGain / channel.strainGain + expansion,
      };
    case 'spectral-shift':
      return {
        zero,
        perUnit: toSiScale / channel.strainGain,
        perKelvin: channel.thermalGain / channel.strainGain + expansion,
      };
    case 'strain':
      return { zero, perUnit: toSiScale, perKelvin: channel.compensated ? 0 : channel.thermalGain + expansion };
    case 'temperature':
      throw new Error(`channel ${channel.name} measures temperature, not strain`);
  }
}

/** temperature (kelvin, or kelvin against rest for a reference fibre) = (reading - zero) * perUnit */
export interface TemperatureLine {
  readonly zero: number;
  readonly perUnit: number;
}

export function temperatureLine(channel: Channel, header: LogHeader): TemperatureLine {
  const { toSiScale, toSiOffset } = header.columns[channel.column]!;
  if (channel.kind === 'temperature') return { zero: -toSiOffset / toSiScale, perUnit: toSiScale };
  if (channel.kind === 'strain') throw new Error(`channel ${channel.name} cannot carry temperature`);
  const response = channel.thermalGain + channel.strainGain * glassExpansionPerK;
  const reference = channel.kind === 'bragg' ? channel.rest : 1;
  return { zero: (channel.rest - toSiOffset) / toSiScale, perUnit: toSiScale / (reference * response) };
}

/**
 * The channel whose readings tell the temperature of a cell, or of one of its planes: the best of its thermometers that
 * read in the datum window; the best one without a zero (NaN) where none did; -1 where the cell has none.
 * Decided once for the whole log: changing over in mid-log would look like a jump of strain.
 */
export function temperatureSource(
  header: LogHeader,
  { cell }: { readonly cell: number },
  temperatureZeroK: readonly number[],
  plane = -1,
): number {
  const found = thermometersOf(header, cell, plane);
  return found.find((channel) => Number.isFinite(temperatureZeroK[channel])) ?? found[0] ?? -1;
}
