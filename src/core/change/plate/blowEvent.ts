// A blow of a sample or two -> the event told of it.
import type { LogHeader } from '../../header/logHeader.ts';
import { phases } from '../../header/logHeader.ts';
import { largestPrincipal } from '../confirm/changeShape.ts';
import type { CellChange, StrainEvent } from '../events.ts';
import type { BlowFinding, SensorFinding } from '../findings.ts';
import { instantIn } from '../readings/heatWatch.ts';
import { blowEvidence, blowMessage } from './blowMessage.ts';
import { isCommon } from './kind.ts';
import { isEarly } from './likeChanges.ts';
import type { PlateFrame } from './plateFrame.ts';

/** Largest change of strain along any direction where there is a tensor, else along any channel. */
export function blowSize({ changes, delta }: BlowFinding): number {
  const tensors = changes.filter(({ change }) => !Number.isNaN(change[0]));
  if (tensors.length > 0) return Math.max(...tensors.map(({ change }) => largestPrincipal(change)));
  return delta.reduce((most, d) => (Math.abs(d) > most ? Math.abs(d) : most), 0);
}

/** The strike that cells felt, or saw as spikes of their channels; detected with the last of these. */
export function strikeOf(
  header: LogHeader,
  frame: PlateFrame,
  felt: readonly BlowFinding[],
  spikes: readonly SensorFinding[],
): StrainEvent {
  const [clearest, ...rest] = clearestFirst(felt);
  const spiked = clearestFirst(spikes);
  const all = [...(clearest ? [clearest] : []), ...rest, ...spiked];
  const first = all[0]!;
  const cells = new Map<number, CellChange[]>();
  for (const finding of felt) cells.set(finding.cell, feltChanges(finding));
  for (const spike of spiked) if (!cells.has(spike.cell)) cells.set(spike.cell, [spikeChange(header, spike)]);
  const order = [...new Set(all.map(({ cell }) => cell))];
  const recoating = all.every(inRecoat);
  const common = isCommon(frame.cells.length, cells.size);
  const early = felt.some(isEarly);
  // So short a thing has no shape that could tell the blade from the instrument; where no phases are told, several cells that
  // felt it as no channel alone could must do.
  const sure = !common && !early && (recoating || (rest.length > 0 && felt.every(({ phase }) => phase === -1)));
  const facts = {
    header,
    cell: first.cell,
    size: clearest ? blowSize(clearest) : spiked[0]!.size,
    sigmas: first.sigmas,
    felt: clearest !== undefined,
    layer: first.layer,
    samples: Math.max(1, ...spikes.map(({ samples }) => samples)),
    cells: cells.size,
    plateCells: frame.cells.length,
    recoating,
    common,
    early,
    sure,
  };
  return {
    id: '',
    nature: 'mechanical',
    kind: 'strike',
    severity: 'warning',
    sure,
    ...instantIn(first),
    endTimeS: spiked[0]?.endTimeS ?? clearest!.endTimeS,
    detectedRow: first.knownRow,
    detectedTimeS: first.knownTimeS,
    layer: Number.isNaN(first.layer) ? -1 : first.layer,
    cells: order.flatMap((cell) => cells.get(cell)!),
    channels: [],
    loneChannel: -1,
    originM: [NaN, NaN],
    originSpreadM: NaN,
    part: '',
    evidence: blowEvidence(facts),
    message: blowMessage(facts),
    folded: 0,
  };
}

function clearestFirst<T extends SensorFinding | BlowFinding>(findings: readonly T[]): T[] {
  return [...findings].sort((a, b) => b.sigmas - a.sigmas || a.cell - b.cell);
}

function inRecoat({ phase }: SensorFinding | BlowFinding): boolean {
  return phases[phase ?? -1] === 'recoat';
}

function feltChanges({ cell, changes, sigmas }: BlowFinding): CellChange[] {
  return changes.map(({ plane, change }) => ({ cell, plane, change, turnDeg: NaN, turnErrorDeg: NaN, sigmas }));
}

function spikeChange(header: LogHeader, { cell, channels, sigmas }: SensorFinding): CellChange {
  const plane = header.channels[channels[0]!]!.plane;
  return { cell, plane, change: [NaN, NaN, NaN], turnDeg: NaN, turnErrorDeg: NaN, sigmas };
}
