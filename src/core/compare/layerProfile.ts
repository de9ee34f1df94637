// A log boiled down to one value per layer (or stretch of time) of every strain component: the median of its rows there.
// In: blocks of rows in order. Out: traces in dimensionless strain, datum taken off, tension positive. What was missing
// all through a layer is left out of it. Few numbers per log, so that many builds can be held beside each other.
import { seriesName } from '../display/quantities.ts';
import type { LogBasis } from '../pipeline/logHead.ts';
import { CellStrain } from '../strain/cellStrain.ts';
import type { SickSpell } from '../strain/sickSpell.ts';
import { placeWords } from '../problem.ts';
import type { Problem } from '../problem.ts';
import { blockCapacityFor } from '../table/rowBlock.ts';
import type { RowBlock } from '../table/rowBlock.ts';

/** What the values are lined up by: the layer, or stretches of so many seconds. */
export type Alignment = { readonly by: 'layer' } | { readonly by: 'time'; readonly stretchS: number };

export interface Trace {
  /** Series name: `<cell>_<plane>_ex`, or the channel's column where a cell has no tensor. */
  readonly id: string;
  readonly cell: string;
  /** '' where the log names no planes. */
  readonly plane: string;
  /** Layers, or numbers of the stretch from 0; ascending. */
  readonly keys: readonly number[];
  readonly values: readonly number[];
}

export interface LayerProfile {
  /** File name of the log. */
  readonly name: string;
  readonly alignment: Alignment;
  /** Every layer or stretch in the order of the log, and the line and time of its first row. */
  readonly places: readonly { readonly key: number; readonly line: number; readonly timeS: number }[];
  readonly traces: readonly Trace[];
  /** The channels that its tensors were solved without, or that make them doubtful. */
  readonly sick: readonly SickSpell[];
}

interface Gatherer {
  readonly trace: { id: string; cell: string; plane: string; keys: number[]; values: number[] };
  /** Readings of the layer at hand. */
  held: number[];
  read(): Float64Array;
}

/** What a log's rows are boiled down by. */
export interface ProfiledRows {
  readonly name: string;
  readonly basis: LogBasis | undefined;
  /** Of the header. */
  readonly problems: readonly Problem[];
  /** None where every channel is to count. */
  readonly sick: readonly SickSpell[];
}

/**
 * A profiler for a log's rows, in blocks as the scanner fills them.
 * @throws Error, in words for the user, where the log's header has errors or it lacks the column to align by.
 */
export function startProfile({ name, basis, problems, sick }: ProfiledRows, alignment: Alignment): LayerProfiler {
  if (!basis) {
    const worst = problems.find(({ severity }) => severity === 'error');
    const why = worst ? `${placeWords(worst)}: ${worst.message}` : 'its header has errors';
    throw new Error(`'${name}' cannot be compared: ${why}`);
  }
  if (alignment.by === 'layer' && basis.header.roles.layer < 0) {
    throw new Error(`'${name}' has no layer column; compare by time instead (underplate compare --by time)`);
  }
  return new LayerProfiler(basis, alignment, blockCapacityFor(basis.header.columns.length), sick);
}

class LayerProfiler {
  readonly #basis: LogBasis;
  readonly #alignment: Alignment;
  readonly #sick: readonly SickSpell[];
  readonly #strains: readonly CellStrain[];
  readonly #gatherers: Gatherer[] = [];
  readonly #keyColumn: number;
  readonly #places: { key: number; line: number; timeS: number }[] = [];
  #key = NaN;

  /** `capacity` is the most rows a block may hold. @throws Error where aligned by a layer the log does not have. */
  constructor(basis: LogBasis, alignment: Alignment, capacity: number, sick: readonly SickSpell[]) {
    const { header, layouts, context } = basis;
    this.#basis = basis;
    this.#alignment = alignment;
    this.#sick = sick;
    this.#keyColumn = alignment.by === 'layer' ? header.roles.layer : header.roles.time;
    if (this.#keyColumn < 0) throw new Error(`the log has no column of the ${alignment.by}`);
    this.#strains = layouts.map((layout) => new CellStrain(header, layout, context, capacity, { sick }));
  }

  push(rows: RowBlock): void {
    const blocks = this.#strains.map((strain) => strain.convert(rows));
    if (this.#gatherers.length === 0) blocks.forEach((_, cell) => this.#gather(cell, rows));
    const columns = this.#gatherers.map(({ read }) => read());
    const keys = rows.columns[this.#keyColumn]!;
    const times = rows.columns[this.#basis.header.roles.time]!;
    for (let row = 0; row < rows.rows; row++) {
      const key = this.#keyOf(keys[row]!);
      if (Number.isNaN(key)) continue;
      if (key !== this.#key) {
        this.#close();
        this.#key = key;
        this.#places.push({ key, line: rows.lines[row]!, timeS: times[row]! });
      }
      for (let at = 0; at < columns.length; at++) {
        const value = columns[at]![row]!;
        if (!Number.isNaN(value)) this.#gatherers[at]!.held.push(value);
      }
    }
  }

  finish(name: string): LayerProfile {
    this.#close();
    const traces = this.#gatherers.map(({ trace }) => inOrderOfKeys(trace));
    return { name, alignment: this.#alignment, places: this.#places, traces, sick: this.#sick };
  }

  #keyOf(value: number): number {
    return this.#alignment.by === 'layer' ? value : Math.floor(value / this.#alignment.stretchS);
  }

  #close(): void {
    for (const { trace, held } of this.#gatherers) {
      if (held.length === 0) continue;
      trace.keys.push(this.#key);
      trace.values.push(median(held));
      held.length = 0;
    }
  }

  #gather(cell: number, rows: RowBlock): void {
    const { header, layouts, context } = this.#basis;
    const strain = this.#strains[cell]!;
    const cellName = header.cells[cell]!.name;
    layouts[cell]!.rosettes.forEach((rosette, at) => {
      const plane = header.planes[rosette.plane]?.name ?? '';
      const add = (id: string, read: () => Float64Array): void => {
        this.#gatherers.push({ trace: { id, cell: cellName, plane, keys: [], values: [] }, held: [], read });
      };
      const block = strain.convert(rows).rosettes[at]!;
      if (block.ex.length > 0) {
        for (const suffix of ['ex', 'ey', 'gxy'] as const)
          add(seriesName(cellName, plane, suffix), () => block[suffix]);
        return;
      }
      rosette.channels.forEach((channel, n) => {
        const zero = context.strainZero[channel]!;
        add(header.channels[channel]!.name, () => block.strain[n]!.map((value) => value - zero));
      });
    });
  }
}

/** A layer that comes back later in the log is taken as one: the mean of its values. */
function inOrderOfKeys(trace: Trace): Trace {
  const sums = new Map<number, [number, number]>();
  trace.keys.forEach((key, at) => {
    const [sum, count] = sums.get(key) ?? [0, 0];
    sums.set(key, [sum + trace.values[at]!, count + 1]);
  });
  const keys = [...sums.keys()].sort((a, b) => a - b);
  return { ...trace, keys, values: keys.map((key) => sums.get(key)![0] / sums.get(key)![1]) };
}

export function median(values: readonly number[]): number {
  const sorted = Float64Array.from(values).sort();
  const middle = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2;
}
