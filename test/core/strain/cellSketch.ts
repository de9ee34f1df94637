// A cell's readings and what the strain step makes of them, for tests.
import { CellStrain } from '../../../src/core/strain/cellStrain.ts';
import type { RosetteBlock } from '../../../src/core/strain/cellBlock.ts';
import { cellLayouts } from '../../../src/core/strain/layout.ts';
import type { StrainContext } from '../../../src/core/strain/strainContext.ts';
import type { LogHeader } from '../../../src/core/header/logHeader.ts';
import { plainContext } from '../../support/oneRow.ts';
import { rowBlock } from '../../support/strainLog.ts';
import type { ChannelSketch } from '../../support/strainLog.ts';

export const thermometer: ChannelSketch = { name: 'T', kind: 'temperature' };

/** The reading that a channel gives at this strain of the metal (thermal expansion included) and temperature change. */
export function reading(log: LogHeader, index: number, strain: number, kelvin: number): number {
  const { kind, rest, strainGain, thermalGain, column } = log.channels[index]!;
  const { toSiScale, toSiOffset } = log.columns[column]!;
  const si =
    kind === 'bragg'
      ? rest * (1 + strainGain * strain + thermalGain * kelvin)
      : kind === 'spectral-shift'
        ? rest + strainGain * strain + thermalGain * kelvin
        : strain + thermalGain * kelvin;
  return (si - toSiOffset) / toSiScale;
}

export function convert(log: LogHeader, context: StrainContext, rows: readonly (readonly number[])[]): RosetteBlock {
  const strain = new CellStrain(log, cellLayouts(log)[0]!, context, rows.length);
  return strain.convert(rowBlock(rows)).rosettes[0]!;
}

/** Zero at 300 K, no strain; noise as given. */
export function contextAt300K(log: LogHeader, noise = NaN): StrainContext {
  const context = plainContext(log, noise);
  return { ...context, temperatureZeroK: log.channels.map(({ kind }) => (kind === 'temperature' ? 300 : NaN)) };
}
