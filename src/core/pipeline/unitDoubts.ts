// Readings that a sensor could give but hardly on a plate at rest: more likely the column's unit or the channel's rest is
// wrong by a power of ten. Told of the datum window at the column's unit, once for all channels alike; nothing is left out.
// What no sensor can give is missing already (header/possibleReadings.ts); of a channel that gives nothing else it is told
// here, once, since nothing of it is judged. Common practice, no published source.
import type { Channel, LogHeader } from '../header/logHeader.ts';
import type { ParsedHeader } from '../header/parseHeader.ts';
import { wholeLine } from '../problem.ts';
import type { Problem, Severity } from '../problem.ts';
import type { StrainContext } from '../strain/strainContext.ts';
import { possibleText } from '../table/rowProblems.ts';
import type { Unreadable } from './headReadings.ts';

/** Glued fibres and plates fail at some 0.02; a wavelength is then 1.6 % off its rest. */
const mostStrainAtRest = 0.03;
/** Colder than any workshop, and hotter than any plate. */
const [coldestK, hottestK] = [200, 2000];

export function withUnitDoubts(
  parsed: ParsedHeader,
  header: LogHeader,
  context: StrainContext,
  unreadable: readonly Unreadable[],
): ParsedHeader {
  const readings = new Map(unreadable.map(({ channel, reading }) => [channel, reading]));
  const found = [
    ...doubt(parsed, header, (_, i) => readings.has(i), {
      code: 'no-possible-reading',
      severity: 'error',
      message: (i) => {
        const { column, kind } = header.channels[i]!;
        const remedy = kind === 'temperature' ? "the column's unit" : "the column's unit and the channel's rest";
        return `reads ${Number(readings.get(i)!.toPrecision(4))} where only ${possibleText(header.columns[column]!)} can be measured, and nothing else up to the end of the datum window; such readings count as missing; check ${remedy}`;
      },
    }),
    ...doubt(
      parsed,
      header,
      ({ kind }, i) => kind === 'temperature' && isOddTemperature(context.temperatureZeroK[i]!),
      {
        code: 'temperature-unusual',
        message: (i) =>
          `reads ${context.temperatureZeroK[i]!.toFixed(0)} K in the datum window; check the column's unit`,
      },
    ),
    ...doubt(parsed, header, (channel, i) => isOddStrain(channel, context.report.mean[i]!), {
      code: 'rest-far',
      message: (i) =>
        `is strained by ${(100 * context.report.mean[i]!).toFixed(1)} % against its rest in the datum window, more than plate and fibre bear; check the column's unit and the channel's rest`,
    }),
  ];
  return found.length === 0 ? parsed : { ...parsed, problems: [...parsed.problems, ...found] };
}

function isOddTemperature(zeroK: number): boolean {
  return zeroK < coldestK || zeroK > hottestK;
}

/** Where no rest is given a spectral shift may be a frequency of light. */
function isOddStrain({ kind, rest }: Channel, mean: number): boolean {
  return Math.abs(mean) > mostStrainAtRest && !(kind === 'spectral-shift' && rest === 0);
}

interface Doubt {
  readonly code: string;
  /** Default: warning. */
  readonly severity?: Severity;
  /** What the channel does, and the remedy. */
  readonly message: (channel: number) => string;
}

function doubt(
  { rangeOf, source }: ParsedHeader,
  { channels }: LogHeader,
  isOdd: (channel: Channel, index: number) => boolean,
  { code, severity = 'warning', message }: Doubt,
): Problem[] {
  const odd = channels.map((_, i) => i).filter((i) => isOdd(channels[i]!, i));
  const [first] = odd;
  if (first === undefined) return [];
  const { name, column, line } = channels[first]!;
  const range =
    rangeOf(['datatype', column, 'unit']) ?? rangeOf([...source.blockPath, 'channels', name]) ?? wholeLine(line);
  const more = odd.length > 1 ? ` (and ${odd.length - 1} more like it)` : '';
  return [{ range, severity, code, message: `channel '${name}' ${message(first)}${more}` }];
}
