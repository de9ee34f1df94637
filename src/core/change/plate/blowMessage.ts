// The words of a blow that was over within a sample or two, and its evidence.
import { microstrain } from '../../display/units.ts';
import type { LogHeader } from '../../header/logHeader.ts';
import type { Evidence } from '../events.ts';
import { layerText, names, shiftOf, strainText } from './message.ts';

export interface BlowFacts {
  readonly header: LogHeader;
  /** The cell that felt it most; the size there, dimensionless, and over its noise. */
  readonly cell: number;
  readonly size: number;
  readonly sigmas: number;
  /** Its channels left their levels together, as none could alone; else they were taken for spikes of one channel each. */
  readonly felt: boolean;
  readonly layer: number;
  readonly samples: number;
  readonly cells: number;
  readonly plateCells: number;
  readonly recoating: boolean;
  readonly common: boolean;
  /** The log tells no layers and has not gone on for long. */
  readonly early: boolean;
  readonly sure: boolean;
}

export function blowMessage(facts: BlowFacts): string {
  const { header, cell, size, layer, samples, cells, sure } = facts;
  const others = cells > 1 ? ` and ${cells - 1} more ${cells > 2 ? 'cells' : 'cell'}` : '';
  const lasted = `for ${samples} ${samples === 1 ? 'sample' : 'samples'}`;
  const told = `${names.strike}${layerText(layer)}: ${strainText(size)} at ${header.cells[cell]!.name}${others}, ${lasted}`;
  return sure ? told : `${told}; not sure: ${doubtOf(facts)}`;
}

function doubtOf({ cells, plateCells, common, early }: BlowFacts): string {
  if (common) return shiftOf(cells, plateCells);
  if (early) return 'the log tells no layers and has not gone on for long, so a cycle of the build would look the same';
  return 'the instrument could do the same, and the blade was not known to move';
}

export function blowEvidence({ header, cell, size, sigmas, felt, cells, plateCells }: BlowFacts): Evidence[] {
  const name = header.cells[cell]!.name;
  return [
    {
      name: 'statistic',
      value: sigmas,
      unit: '',
      text: felt
        ? `All channels of ${name} together stood off by ${sigmas.toFixed(1)} times their noise.`
        : `The spike at ${name} is ${sigmas.toFixed(1)} times the channel's noise.`,
    },
    {
      name: 'size',
      value: size * microstrain.scale,
      unit: microstrain.unit,
      text: felt
        ? `Largest change at ${name}, the clearest cell: ${strainText(size)}.`
        : `Height of the spike at ${name}, the clearest cell: ${strainText(size)} in one channel.`,
    },
    {
      name: 'cells',
      value: cells,
      unit: '',
      text: `${cells} of ${plateCells} cells ${felt ? 'felt it' : 'spiked together'}.`,
    },
  ];
}
