// Sentences of the analysis, which are plain ASCII where they also go to a terminal, as this page writes everything else.
import { microstrain } from '../src/core/display/units.ts';

/** 'drifts by -48.3 um/m' becomes 'drifts by −48.3 µm/m'. Names such as 'A-1' stay. */
export function onScreen(text: string): string {
  return text.replace(/(?<![\w.-])-(?=\d)/g, '−').replace(/(?<=\d )um\/m\b/g, microstrain.unitLabel);
}
