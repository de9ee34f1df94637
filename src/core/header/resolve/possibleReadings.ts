// What a reading can be at all, by the kind of its channel: what lies outside is a fill value, a slip of the logger or a
// wrong unit, and counts as missing. The limits are far beyond any plate, so that no true reading is ever lost.
import type { Channel, Column, LogHeader, PossibleReadings } from '../logHeader.ts';

/** Silica fibres break at some 0.06 even when pristine; a glued one or the plate long before. */
const mostStrain = 0.1;
/** Of a wavelength from its rest: more than `mostStrain` and all heat could do. */
const mostShift = 0.1;
/** All that is measured on a plate is colder; no metal stays solid. */
const hottestK = 5000;
/** A column without a rest may hold frequencies of light themselves: ultraviolet and above is none. */
const highestFrequencyHz = 1e15;
/** What other programs keep a layer in: 32 bits with a sign. */
const mostLayers = 2 ** 31;

/** The columns, each with what its readings can be, in the file's unit. */
export function withPossibleReadings(
  columns: readonly Column[],
  channels: readonly Channel[],
  roles: LogHeader['roles'],
): Column[] {
  const byColumn = new Map(channels.map((channel) => [channel.column, channel]));
  return columns.map((column, index) => {
    if (index === roles.layer) return { ...column, possible: layers };
    const channel = byColumn.get(index);
    const inSi = channel && possibleInSi(channel);
    if (!inSi?.every(Number.isFinite)) return column;
    const [above, below] = inSi.map((value) => (value - column.toSiOffset) / column.toSiScale) as [number, number];
    return { ...column, possible: { above, below, whole: false } };
  });
}

const layers: PossibleReadings = { above: -mostLayers - 1, below: mostLayers, whole: true };

/** Exclusive limits, in SI. */
function possibleInSi({ kind, rest, strainGain }: Channel): readonly [above: number, below: number] {
  switch (kind) {
    case 'temperature':
      return [0, hottestK];
    case 'strain':
      return [-mostStrain, mostStrain];
    case 'bragg':
      return [rest * (1 - mostShift), rest * (1 + mostShift)];
    case 'spectral-shift': {
      const shift = rest === 0 ? highestFrequencyHz : Math.abs(strainGain) * mostStrain;
      return [rest - shift, rest + shift];
    }
  }
}
