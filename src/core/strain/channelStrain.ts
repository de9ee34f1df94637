// One reading -> strain of the metal along the fibre, or temperature, as a straight line in the file's own unit.
// bragg: (reading - rest)/rest = strain_gain e + thermal_gain dT; spectral-shift: reading - rest = strain_gain e +
// thermal_gain dT (Kersey et al. 1997; Froggatt & Moore 1998). thermal_gain holds at constant fibre length, so the glue
// makes the fibre follow the metal and nothing of the glass's own expansion is left over; mechanical strain is then
// e - expansion dT. A loose reference fibre expands freely, so its response is thermal_gain + strain_gain glass expansion.
import type { Channel, LogHeader } from '../header/logHeader.ts';
import type { CellLayout } from './layout.ts';

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
      return { zero, perUnit: toSiScale, perKelvin: channel.compensated ? 0 : expansion };
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

/** Whether the channel tells temperature and not strain. */
export function carriesTemperature(channel: Channel): boolean {
  return channel.kind === 'temperature' || channel.strainFree;
}

/**
 * The channel whose readings tell the temperature of a cell, or of one of its planes: the plane's own, else the cell's,
 * else the plate's; one that gave nothing usable in the datum window (zero NaN) is passed over; -1 where none is left.
 * Decided once for the whole log: changing over in mid-log would look like a jump of strain.
 */
export function temperatureSource(
  header: LogHeader,
  layout: CellLayout,
  temperatureZeroK: readonly number[],
  plane = -1,
): number {
  const usable = (channel: number): boolean => channel >= 0 && Number.isFinite(temperatureZeroK[channel]);
  const first = (of: (channel: Channel) => boolean): number =>
    header.channels.findIndex((channel, i) => carriesTemperature(channel) && of(channel) && usable(i));
  const ofPlane = plane < 0 ? -1 : first((channel) => channel.cell === layout.cell && channel.plane === plane);
  if (ofPlane >= 0) return ofPlane;
  if (usable(layout.temperatureChannel)) return layout.temperatureChannel;
  const ofCell = first((channel) => channel.cell === layout.cell);
  return ofCell >= 0 ? ofCell : first((channel) => channel.cell < 0);
}
