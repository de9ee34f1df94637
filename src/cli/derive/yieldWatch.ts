// Stresses far beyond the yield of the plate, which no plate bears: most often a unit or a gain is wrong by a power of ten.
// Looked for in what is written, and told once, at the row where it is worst.
import { measure } from '../../core/display/numberFormat.ts';
import { measureIn, megapascal } from '../../core/display/units.ts';
import { wholeLine } from '../../core/problem.ts';
import type { Problem } from '../../core/problem.ts';
import type { RowBlock } from '../../core/table/rowBlock.ts';
import type { TableColumn, TableRows } from './deriveColumns.ts';

/** Where the plate gives way, a stress reckoned as elastic runs past the yield: hardly to three times it. */
const mostYields = 3;

export class YieldWatch {
  readonly #yieldPa: number;
  readonly #columns: readonly { readonly at: number; readonly name: string }[];
  #worst = { stress: 0, line: 1, name: '' };

  constructor(columns: readonly TableColumn[], yieldStressPa: number) {
    this.#yieldPa = yieldStressPa;
    this.#columns = columns.flatMap(({ name, quantity }, at) => (quantity === 'vm' ? [{ at, name }] : []));
  }

  /** `written` are the rows of `log`, one for one. */
  look(log: RowBlock, written: TableRows): void {
    for (const { at, name } of this.#columns) {
      const stresses = written.columns[at]!;
      for (let row = 0; row < written.rows; row++) {
        const stress = stresses[row]!;
        if (stress > this.#worst.stress) this.#worst = { stress, line: log.lines[row]!, name };
      }
    }
  }

  get problems(): Problem[] {
    const { stress, line, name } = this.#worst;
    if (!(stress > mostYields * this.#yieldPa * megapascal.scale)) return [];
    const message = `the equivalent stress ${name} reaches ${measure(stress, megapascal.unitLabel)}, far beyond the yield stress of ${measureIn(megapascal, this.#yieldPa)}; check the units of the columns, the gains of the channels, and the plate's modulus`;
    return [{ range: wholeLine(line), severity: 'warning', code: 'stress-beyond-yield', message }];
  }
}
