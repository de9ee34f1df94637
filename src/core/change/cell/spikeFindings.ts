// Spikes that have just ended -> findings of the cell. Columns of the same row are told together.
import type { CellDetectorState } from './cellDetectorState.ts';
import type { CellFrame } from '../cellFrame.ts';
import { chatterFinding } from './chatter.ts';
import type { SensorFinding } from '../findings.ts';
import { knownNow, slot } from '../history.ts';
import { onsetOf, phaseIndex } from '../confirm/onset.ts';
import { usualIntervalS } from '../pace.ts';
import { closeSpike, followSpikes } from '../readings/spikes.ts';

/** Follows spikes with one more sample, `excess` its distances from the levels before, in noises. */
export function tellSpikes(frame: CellFrame, state: CellDetectorState, excess: Float64Array): void {
  const { spikes, chatter } = state;
  const ended = followSpikes(spikes, excess, frame.first, state.samples);
  if (!ended) return;
  for (const j of ended) if (chatter.sick[j]! > 0) state.findings.push(chatterFinding(frame, state, j, 'spike'));
  const single = ended.filter((j) => chatter.sick[j] === 0);
  if (single.length > 0) state.findings.push(singleSpike(frame, state, single));
  for (const j of ended) closeSpike(spikes, j);
}

/** What is told of spikes that have just ended, in channels that hardly ever spike. */
function singleSpike(
  { first, channels, cell }: CellFrame,
  { spikes, history, noise, pace, samples }: CellDetectorState,
  ended: readonly number[],
): SensorFinding {
  const since = Math.min(...ended.map((j) => spikes.since[j]!));
  const began = Math.max(1, history.count - (samples - since));
  const from = slot(began);
  const known = knownNow(history);
  const strongest = ended.reduce((a, b) => (Math.abs(spikes.peak[b]!) > Math.abs(spikes.peak[a]!) ? b : a));
  return {
    what: 'spike',
    cell,
    ...known,
    row: history.row[from]!,
    line: history.line[from]!,
    timeS: history.timeS[from]!,
    layer: history.layer[from]!,
    channels: ended.map((j) => channels[j - first]!),
    endRow: known.knownRow,
    endTimeS: known.knownTimeS,
    samples: samples - since,
    size: spikes.peak[strongest]! * noise[strongest]!,
    sigmas: Math.abs(spikes.peak[strongest]!),
    phase: phaseIndex(onsetOf(history, began - 1).phase),
    intervalS: usualIntervalS(pace),
  };
}
