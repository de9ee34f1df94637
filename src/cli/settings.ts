// Options that every command which analyses a log understands, and their reading into analysis settings.
// What is given here stands above what the log's header says.
import { eventKinds } from '../core/change/events.ts';
import { microstrain } from '../core/display/units.ts';
import { UsageError } from './command.ts';
import type { AnalysisSettings } from '../core/pipeline/settings.ts';

export const settingOptions = {
  'false-alarm-budget': { type: 'string' },
  'smallest-jump': { type: 'string' },
  mute: { type: 'string', multiple: true },
  datum: { type: 'string' },
  derive: { type: 'string', multiple: true },
} as const;

export const settingUsage = `Settings, above what the log's header says:
  --false-alarm-budget HOURS  mean hours between false mechanical alarms of the whole plate
  --smallest-jump STRAIN      smallest change worth reporting, in ${microstrain.unit}
  --mute KIND[,KIND]          event kinds not reported; '' for none, also not those of the header
  --datum FROM:TO             window called zero, in seconds of the log
  --derive NAME=EXPRESSION    one more series`;

interface SettingValues {
  readonly 'false-alarm-budget'?: string | undefined;
  readonly 'smallest-jump'?: string | undefined;
  readonly mute?: string[] | undefined;
  readonly datum?: string | undefined;
  readonly derive?: string[] | undefined;
}

/** @throws UsageError for a value that is no number, not positive, or an unknown kind. */
export function readSettings(values: SettingValues): AnalysisSettings {
  const jump = positive('--smallest-jump', values['smallest-jump'], microstrain.unit);
  return {
    falseAlarmHours: positive('--false-alarm-budget', values['false-alarm-budget'], 'h'),
    smallestJump: jump === undefined ? undefined : jump / microstrain.scale,
    mute: values.mute && mutedKinds(values.mute),
    datum: values.datum === undefined ? undefined : datumWindow(values.datum),
    derived: values.derive?.map(derivedSeries),
  };
}

function positive(option: string, text: string | undefined, unit: string): number | undefined {
  if (text === undefined) return undefined;
  const number = text.trim().replace(new RegExp(`\\s*${unit}$`), '');
  const value = number === '' ? NaN : Number(number);
  if (Number.isFinite(value) && value > 0) return value;
  throw new UsageError(`${option} needs a number above 0 in ${unit}, got '${text}'`);
}

function mutedKinds(lists: readonly string[]): string[] {
  const known: readonly string[] = Object.values(eventKinds).flat();
  // '' mutes nothing, so that what the header mutes is told.
  const kinds = lists
    .filter((list) => list.trim() !== '')
    .flatMap((list) => list.split(',').map((kind) => kind.trim()));
  const unknown = kinds.find((kind) => !known.includes(kind));
  if (unknown === undefined) return kinds;
  throw new UsageError(`--mute: there is no event kind '${unknown}'; the kinds are ${known.join(', ')}`);
}

function datumWindow(text: string): { fromS: number; toS: number } {
  const [from = '', to = '', ...more] = text.split(':').map((part) => part.trim().replace(/\s*s$/, ''));
  const [fromS, toS] = [Number(from), Number(to)];
  const given = from !== '' && to !== '' && more.length === 0;
  if (given && Number.isFinite(fromS) && Number.isFinite(toS) && toS > fromS) return { fromS, toS };
  throw new UsageError(`--datum needs two times in seconds, the second later, as in 60:180; got '${text}'`);
}

function derivedSeries(text: string): { name: string; expression: string } {
  const at = text.indexOf('=');
  const [name, expression] = [text.slice(0, at).trim(), text.slice(at + 1).trim()];
  if (at > 0 && name !== '' && expression !== '') return { name, expression };
  throw new UsageError(`--derive needs NAME=EXPRESSION, got '${text}'`);
}

/** @throws UsageError for a value that is none of the choices. */
export function oneOf<const T extends string>(option: string, choices: readonly T[], value: string): T {
  const choice = choices.find((one) => one === value);
  if (choice !== undefined) return choice;
  throw new UsageError(`${option} knows ${choices.join(', ')}; got '${value}'`);
}
