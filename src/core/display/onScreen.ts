// Sentences of the analysis, which are plain ASCII where they also go to a terminal, as page and report write everything else.
import { degrees, microstrain } from './units.ts';

/**
 * 'drifts by -48.3 um/m' becomes 'drifts by −48.3 µm/m', as does 'by -48.3 microstrain'; '14 degrees' becomes '14°'. Names such
 * as 'A-1' stay.
 */
export function onScreen(text: string): string {
  return text
    .replace(/(?<![\w.-])-(?=\d)/g, '−')
    .replace(/(?<=\d )(um\/m|microstrain)(?![\w-])/g, microstrain.unitLabel)
    .replace(/(?<=\d )deg_C\b/g, '°C')
    .replace(/(?<=\d) degrees(?![\w-])/g, degrees.unitLabel);
}
