// Spikes that are the usual tail of the noise: where it is heavy, a few readings in a million go far, in every channel, for as
// long as the log runs. Told one by one they bury what matters. So one that was to be expected by now, by how many there were
// and how far they went, is counted in an event that is told. Sizes follow Pareto's law: of how many spikes its shape is known
// is reckoned with (the exponential law of their logarithms, its rate gamma distributed). Plain data: part of the plate stage's state.
import type { SensorFinding } from '../findings.ts';
import type { LedgerState } from './ledger.ts';
import type { PlateFrame } from './plateFrame.ts';

/** Spikes so far, the sum of the logarithms of their sizes over the least that is told, and the place of the last told. */
interface Spikes {
  count: number;
  logarithms: number;
  slot: number;
}

export interface PastSpikes {
  readonly ofChannel: Record<number, Spikes>;
  /** Of all channels. */
  readonly all: Spikes;
}

const none = (): Spikes => ({ count: 0, logarithms: 0, slot: -1 });

export function noSpikes(): PastSpikes {
  return { ofChannel: {}, all: none() };
}

/** No spike of fewer noises is told (`spikes.ts`). */
const leastNoises = 10;
/**
 * What is taken for the law beforehand: Student's noise of 3 degrees, the heaviest that has a variance. A few spikes that go far, as
 * faults do, are no tail yet: they must outvote this many.
 */
const lawLogarithm = 1 / 3;
const lawSpikes = 10;
/** Several as large were to be expected by now. */
const expectedSpikes = 3;
/** Spikes in so many channels, and in this share of all, are no faults of single ones. */
const fewestChannels = 6;
const manyShare = 0.1;

/** Place of the event that a spike is counted in, being usual; -1 where it is told by itself. */
export function usualSlot(past: PastSpikes, frame: PlateFrame, ledger: LedgerState, finding: SensorFinding): number {
  // Several channels at once are no tail of one.
  if (finding.channels.length > 1) return -1;
  const own = past.ofChannel[finding.channels[0]!] ?? none();
  const size = Math.log(Math.max(1, finding.sigmas / leastNoises));
  const channels = frame.channels.reduce((sum, ofCell) => sum + ofCell.length, 0);
  const spiked = Object.values(past.ofChannel).filter(({ count }) => count > 0).length;
  const byOwn = own.count * shareBeyond(own, size);
  // One channel that spikes is no matter of the others; where many have, it is how the instrument's noise is. Each counts once.
  const byAll = spiked >= Math.max(fewestChannels, channels * manyShare) ? spiked * shareBeyond(past.all, size) : 0;
  if (Math.max(byOwn, byAll) < expectedSpikes) return -1;
  return [own.slot, past.all.slot].find((slot) => isTold(ledger, slot)) ?? -1;
}

function shareBeyond({ count, logarithms }: Spikes, size: number): number {
  return (1 + size / (lawSpikes * lawLogarithm + logarithms)) ** -(count + lawSpikes);
}

function isTold({ entries }: LedgerState, slot: number): boolean {
  const entry = entries[slot];
  return entry !== undefined && !entry.withdrawn && !entry.yields && entry.event.kind === 'spike';
}

/** The channel's spikes were those of its sickness, and are counted with that. */
export function forgetSpikesOf(past: PastSpikes, channel: number): void {
  past.ofChannel[channel] = none();
}

/** `slot`: place of the event that was told of the spike, -1 where it was counted in another. */
export function rememberSpike(past: PastSpikes, { channels, sigmas }: SensorFinding, slot: number): void {
  const [channel] = channels;
  if (channels.length > 1 || channel === undefined) return;
  for (const spikes of [(past.ofChannel[channel] ??= none()), past.all]) {
    spikes.count++;
    spikes.logarithms += Math.log(Math.max(1, sigmas / leastNoises));
    if (slot >= 0) spikes.slot = slot;
  }
}
