// Mocha's own `spec` output, plus the numbers of passed and failed tests in the file named by UNDERPLATE_COUNTS, from
// which the build script sums up all suites. A pending test counts as failed: the house has no skipped tests.
import { writeFileSync } from 'node:fs';
import Mocha from 'mocha';

class CountingReporter extends Mocha.reporters.Spec {
  constructor(runner, options) {
    super(runner, options);
    runner.once('end', () => {
      const { passes, failures, pending } = this.stats;
      const file = process.env.UNDERPLATE_COUNTS;
      if (file) writeFileSync(file, JSON.stringify({ passed: passes, failed: failures + pending }));
    });
  }
}

// Mocha loads a reporter with require(), which takes this name for the whole module.
export { CountingReporter as 'module.exports' };
