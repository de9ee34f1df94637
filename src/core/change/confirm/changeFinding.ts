// What a cell tells of a change, from what was measured of it and what was seen beside it.
import type { CellFrame } from '../cellFrame.ts';
import type { ChangeFinding, ChangeStage } from '../findings.ts';
import type { CycleMatch } from './cycleMatch.ts';
import { instantIn } from '../readings/heatWatch.ts';
import { knownNow } from '../history.ts';
import type { HistoryState } from '../history.ts';
import { liftS } from '../durations.ts';
import type { Measured } from './measure.ts';
import { phaseIndex } from './onset.ts';
import type { Onset } from './onset.ts';
import type { Sight } from './sight.ts';
import { lastingRows } from './suspicion.ts';

/** `lasting`: where it is known better than by the rows since the onset. */
interface Told {
  readonly serial: number;
  readonly surprise: number;
  readonly length: number;
  readonly partRow: number;
  readonly match: CycleMatch;
  readonly lasting?: boolean;
}

export function findingOf(
  { cell, channels, first }: CellFrame,
  stage: ChangeStage,
  told: Told,
  onset: Onset,
  measured: Measured,
  history: HistoryState,
  sight: Sight,
): ChangeFinding {
  const known = knownNow(history);
  return {
    what: 'change',
    cell,
    ...known,
    ...instantIn(onset),
    outOfRhythm: sight.outOfRhythm,
    young: sight.young,
    phase: phaseIndex(onset.phase),
    endPhase: -1,
    channels: [],
    partRow: told.partRow,
    serial: told.serial,
    stage,
    length: told.length,
    spacing: sight.rows,
    lasting: told.lasting ?? known.knownRow - onset.row >= lastingRows,
    intervalS: sight.intervalS,
    surprise: told.surprise,
    sigmas: measured.sigmas,
    cycleLeft: told.match.left,
    cycleReach: told.match.reach,
    levelBefore: channels.map(
      (_, c) => measured.before[first + c]! + sight.flat[first + c]! - history.level[first + c]!,
    ),
    delta: measured.delta,
    deltaError: measured.deltaError,
    rosettes: measured.rosettes,
    ramp: measured.ramp || (told.partRow - onset.row) * sight.intervalS >= liftS,
    temperatureK: measured.temperatureK,
    usualK: measured.usualK,
    soloEvidence: measured.soloEvidence,
    soloChannel: measured.soloChannel,
    endRow: -1,
    endTimeS: NaN,
  };
}
