// One simulated build through the product's own pipeline, bytes in, events out, with the textbook methods beside it on the
// very rows that the pipeline accepted.
import { detectionOf } from '../../../src/cli/scoring/detection.ts';
import type { Detection } from '../../../src/cli/scoring/detection.ts';
import type { ScoredLog } from '../../../src/cli/scoring/tally.ts';
import { headerText } from '../../../src/cli/simulation/headerText.ts';
import { SimulatedBuild } from '../../../src/cli/simulation/simulatedBuild.ts';
import { plainStyle, rowsText } from '../../../src/cli/simulation/tableText.ts';
import { trueEvents } from '../../../src/cli/simulation/truth.ts';
import { Session } from '../../../src/core/session.ts';
import { pitchOf } from './benchEvents.ts';
import type { BenchBuild } from './benchBuilds.ts';
import { TextbookMethods, multiples, textbookNames } from './textbookMethods.ts';
import type { TextbookName } from './textbookMethods.ts';

export interface BenchLog {
  readonly build: BenchBuild;
  readonly ours: ScoredLog;
  /** Empty where the baselines were left out. */
  readonly textbook: ReadonlyMap<TextbookName, readonly ScoredLog[]>;
}

export function benchLog(build: BenchBuild, withTextbook: boolean): BenchLog {
  const simulated = new SimulatedBuild(build.scenario);
  const { rateHz } = build.scenario;
  const durationS = simulated.clock.endS;
  let methods: TextbookMethods | undefined;
  const session: Session = new Session({
    // Breaks of 3 sigma are asked for, so the smallest jump worth hearing of is set below them.
    settings: { smallestJump: simulated.sigma },
    pyramid: false,
    onBlock: (block) => {
      if (!withTextbook) return;
      methods ??= new TextbookMethods(session.basis!, rateHz, durationS);
      methods.push(block);
    },
  });
  pushAll(session, simulated);
  methods?.finish();
  if (!session.basis) throw new Error(`${build.name} is not analysed: ${session.problems[0]?.message ?? 'no rows'}`);
  const { header } = session.basis;
  const scored = (reports: readonly Detection[]): ScoredLog => ({
    truth: trueEvents(simulated),
    reports,
    durationS,
    rateHz,
    pitchM: pitchOf(build.scenario),
  });
  const textbook = new Map<TextbookName, readonly ScoredLog[]>();
  if (methods) {
    for (const name of textbookNames) {
      textbook.set(
        name,
        multiples.map((multiple) => scored(methods!.reports(name, multiple))),
      );
    }
  }
  return { build, ours: scored(session.events.map((event) => detectionOf(event, header))), textbook };
}

function pushAll(session: Session, build: SimulatedBuild): void {
  const encoder = new TextEncoder();
  session.push(encoder.encode(headerText(build.scenario)));
  const block = build.block(1024);
  while (build.fill(block) > 0) session.push(encoder.encode(rowsText(block, build.columns, plainStyle)));
  session.finish();
}
