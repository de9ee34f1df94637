// What one channel did by itself, where the channel and not the metal made a change. The tensor that is fitted to all
// channels of the cell shares such a change among them (of four directions it keeps three quarters), so it tells nothing.
import type { LogHeader } from '../../header/logHeader.ts';
import type { CellChange } from '../events.ts';
import type { ChangeFinding } from '../findings.ts';
import type { PlateFrame } from './plateFrame.ts';

export interface ChannelChange {
  readonly name: string;
  /** After minus before and its standard error, dimensionless. */
  readonly change: number;
  readonly error: number;
}

/** Undefined where no channel could have made the change alone. */
export function loneChange(header: LogHeader, frame: PlateFrame, finding: ChangeFinding): ChannelChange | undefined {
  const at = (frame.channels[finding.cell] ?? []).indexOf(finding.soloChannel);
  const change = finding.delta[at];
  if (change === undefined) return undefined;
  return { name: header.channels[finding.soloChannel]!.name, change, error: finding.deltaError[at]! };
}

/** The cell and plane of the channel, by which an event is found on the plate: the metal there did not change. */
export function loneCell(header: LogHeader, { cell, soloChannel, sigmas }: ChangeFinding): CellChange {
  const plane = header.channels[soloChannel]?.plane ?? -1;
  return { cell, plane, change: [NaN, NaN, NaN], turnDeg: NaN, turnErrorDeg: NaN, sigmas };
}
