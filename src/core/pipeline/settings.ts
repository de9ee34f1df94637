// Settings of one analysis: what the user asks for over what the header says. Precedence rises from header to workspace
// to command line; the caller merges the last two, this file lays the result over the header.
import type { DerivedSeries, LogHeader } from '../header/logHeader.ts';

/** Undefined leaves what the header says (or its default). */
export interface AnalysisSettings {
  /** Mean hours between false mechanical alarms for the whole plate, above 0. */
  readonly falseAlarmHours?: number | undefined;
  /** Smallest change worth reporting, dimensionless strain above 0. */
  readonly smallestJump?: number | undefined;
  readonly mute?: readonly string[] | undefined;
  readonly datum?: { readonly fromS: number; readonly toS: number } | undefined;
  /** Added to the header's own derived series. */
  readonly derived?: readonly DerivedSeries[] | undefined;
}

export function withSettings(header: LogHeader, settings: AnalysisSettings): LogHeader {
  const own = header.detection;
  return {
    ...header,
    detection: {
      falseAlarmHours: settings.falseAlarmHours ?? own.falseAlarmHours,
      smallestJump: settings.smallestJump ?? own.smallestJump,
      mute: settings.mute ?? own.mute,
    },
    datum: settings.datum ?? header.datum,
    derived: [...header.derived, ...(settings.derived ?? [])],
  };
}
