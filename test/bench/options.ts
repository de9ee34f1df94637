// The bench's arguments. What cannot be meant is told with what can be, and exit code 2.
import { parseArgs } from 'node:util';

export interface BenchOptions {
  /** Sizes of the logs, in megabytes. */
  readonly megabytes: readonly number[];
  /** Counted rounds. */
  readonly runs: number;
  /** Parts of contenders' names, in lower case; all where there are none. */
  readonly only: readonly string[];
  readonly save: boolean;
}

const usage = `usage: npm run bench -- [options]
  --log MB      one log of this size instead of 30 and 300
  --large       also a log of 3000 MB (kept only while it is measured)
  --runs N      counted rounds, 1 to 99 (default 5); a log of 1000 MB or more has one
  --only NAME   only contenders whose name holds NAME, and ours; may be given several times
  --save        write the results to test/bench/results.md`;

const mostMegabytes = 20_000;

/** Undefined where only the usage was asked for. @throws Error in words for the user. */
export function benchOptions(args: readonly string[]): BenchOptions | undefined {
  const { values } = parseArgs({
    args: [...args],
    options: {
      log: { type: 'string' },
      large: { type: 'boolean', default: false },
      runs: { type: 'string', default: '5' },
      only: { type: 'string', multiple: true, default: [] },
      save: { type: 'boolean', default: false },
      help: { type: 'boolean', short: 'h', default: false },
    },
  });
  if (values.help) {
    console.log(usage);
    return undefined;
  }
  const one = values.log === undefined ? [30, 300] : [wholeNumber('--log', values.log, mostMegabytes)];
  const megabytes = values.large && !one.includes(3000) ? [...one, 3000] : one;
  const only = values.only.map((name) => name.toLowerCase());
  return { megabytes, runs: wholeNumber('--runs', values.runs, 99), only, save: values.save };
}

/** The options, or the end of the process with what was wrong. */
export function optionsOrExit(args: readonly string[]): BenchOptions {
  try {
    const options = benchOptions(args);
    if (options) return options;
    process.exit(0);
  } catch (error) {
    refuse(error instanceof Error ? error.message : String(error));
  }
}

export function refuse(why: string): never {
  console.error(`bench: ${why}\n\n${usage}`);
  process.exit(2);
}

function wholeNumber(name: string, text: string, most: number): number {
  const value = Number(text);
  if (Number.isInteger(value) && value >= 1 && value <= most) return value;
  throw new Error(`${name}: got '${text}', expected a whole number from 1 to ${most}`);
}
