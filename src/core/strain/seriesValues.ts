// Any series of a log, by its id, for a block of rows: raw column, quantity of a rosette or cell, derived expression.
// Values come in the unit of core/display/quantities (raw: the file's). Every row is computed on its own.
import { quantityOf, seriesName } from '../display/quantities.ts';
import type { LogHeader } from '../header/logHeader.ts';
import { wholeLine } from '../problem.ts';
import type { RowBlock } from '../table/rowBlock.ts';
import type { CellBlock } from './cellBlock.ts';
import { compileDerived } from './derived.ts';
import { CellPlate, plateQuantities } from './cellPlate.ts';
import { CellStrain } from './cellStrain.ts';
import type { CellLayout } from './layout.ts';
import { PlateForces } from './plateForces.ts';
import type { PlateResultants } from './plateForces.ts';
import { membraneForces, moments } from './plates.ts';
import type { InPlane } from './plates.ts';
import { rosetteQuantities } from './rosetteQuantities.ts';
import { cellsWithMoments, seriesCatalog } from './seriesCatalog.ts';
import type { SeriesEntry } from './seriesCatalog.ts';
import type { SickSpell } from './sickSpell.ts';
import type { StrainContext } from './strainContext.ts';

/** One cell's converter with the block of the rows at hand. */
interface CellSource {
  readonly strain: CellStrain;
  readonly plate: CellPlate;
  block: CellBlock | undefined;
}

type Fill = (rows: RowBlock) => Float64Array;

export class SeriesValues {
  readonly #cells = new Map<number, CellSource>();
  readonly #fills: readonly Fill[];

  /** Throws for an id that the header does not offer; ask seriesCatalog first. */
  constructor(
    header: LogHeader,
    layouts: readonly CellLayout[],
    context: StrainContext,
    ids: readonly string[],
    capacity: number,
    sick: readonly SickSpell[] = [],
  ) {
    const catalog = new Map(seriesCatalog(header).map((entry) => [entry.id, entry]));
    const source = (cell: number): CellSource => this.#source(header, layouts, context, cell, capacity, sick);
    this.#fills = ids.map((id) => {
      const entry = catalog.get(id);
      if (!entry) throw new Error(`no series named '${id}' in this log`);
      if (entry.quantity === '') return plainFill(header, id, capacity);
      if (quantityOf(entry.quantity)!.of === 'plate') return plateFill(header, entry.quantity, source, capacity);
      return quantityFill(header, context, entry, source(entry.cell), capacity);
    });
  }

  /** One array per id, in their order; the first `rows.rows` values count. The arrays are reused by the next call. */
  compute(rows: RowBlock): readonly Float64Array[] {
    for (const source of this.#cells.values()) source.block = source.strain.convert(rows);
    return this.#fills.map((fill) => fill(rows));
  }

  #source(
    header: LogHeader,
    layouts: readonly CellLayout[],
    context: StrainContext,
    cell: number,
    capacity: number,
    sick: readonly SickSpell[],
  ): CellSource {
    let source = this.#cells.get(cell);
    if (!source) {
      const layout = layouts.find((l) => l.cell === cell)!;
      const strain = new CellStrain(header, layout, context, capacity, { sick });
      source = { strain, plate: new CellPlate(header, layout, strain), block: undefined };
      this.#cells.set(cell, source);
    }
    return source;
  }
}

/** A raw column, or else the derived series of that name. */
function plainFill(header: LogHeader, id: string, capacity: number): Fill {
  const column = header.columns.findIndex(({ name }) => name === id);
  if (column >= 0) return (rows) => rows.columns[column]!;
  const derived = header.derived.find(({ name }) => name === id)!;
  const { series } = compileDerived(derived, header, () => wholeLine(1), capacity);
  return (rows) => series!.evaluate(rows);
}

function quantityFill(
  header: LogHeader,
  context: StrainContext,
  entry: SeriesEntry,
  source: CellSource,
  capacity: number,
): Fill {
  const out = new Float64Array(capacity);
  const { scale, of } = quantityOf(entry.quantity)!;
  const each = (rows: RowBlock, value: (block: CellBlock, row: number) => number): Float64Array => {
    const block = source.block!;
    for (let i = 0; i < rows.rows; i++) out[i] = value(block, i) * scale;
    return out;
  };
  if (entry.quantity === 'dt') return (rows) => each(rows, (_, row) => source.strain.temperatureAt(row));
  if (of === 'cell') {
    const quantity = plateQuantities[entry.quantity]!;
    return (rows) =>
      each(rows, (block, row) => {
        const strain = source.plate.at(block, row);
        return strain ? quantity(strain, source.plate, block, row) : NaN;
      });
  }
  if (of === 'channel') {
    const channel = header.channels.findIndex(({ name }) => seriesName(name, '', entry.quantity) === entry.id);
    const zero = context.strainZero[channel]!;
    return (rows) => {
      const { layout, rosettes } = source.block!;
      const r = layout.rosettes.findIndex(({ plane }) => plane === entry.plane);
      const strain = rosettes[r]!.strain[layout.rosettes[r]!.channels.indexOf(channel)]!;
      return each(rows, (_, row) => strain[row]! - zero);
    };
  }
  const quantity = rosetteQuantities[entry.quantity]!;
  return (rows) => {
    const r = source.block!.layout.rosettes.findIndex(({ plane }) => plane === entry.plane);
    const rosette = { block: source.block!.rosettes[r]!, solver: source.strain.solver(r), plate: header.plate };
    return each(rows, (_, row) => quantity(rosette, row));
  };
}

const nowhere: InPlane = [NaN, NaN, NaN];

function plateFill(header: LogHeader, suffix: string, source: (cell: number) => CellSource, capacity: number): Fill {
  const out = new Float64Array(capacity);
  const cells = cellsWithMoments(header);
  const sources = cells.map(source);
  const resultants = new PlateForces(header, cells);
  const { thicknessM } = header.plate;
  const of = plateResultant[suffix]!;
  return (rows) => {
    for (let i = 0; i < rows.rows; i++) {
      const bent = sources.map(({ plate, block }) => plate.at(block!, i));
      const forces = bent.map((b) => (b ? membraneForces(b.mid, header.plate, thicknessM) : nowhere));
      const torques = bent.map((b) => (b ? moments(b.curvature, header.plate, thicknessM) : nowhere));
      out[i] = of(resultants.at(forces, torques));
    }
    return out;
  };
}

const plateResultant: Readonly<Record<string, (of: PlateResultants) => number>> = {
  net_fx: ({ force }) => force[0],
  net_fy: ({ force }) => force[1],
  net_mx: ({ moment }) => moment[0],
  net_my: ({ moment }) => moment[1],
};
