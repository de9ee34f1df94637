// The state of the whole plate at one row: every rosette's principals and stress, every cell's forces and moments.
// Strain dimensionless, stress in pascal, directions in degrees [0, 180); NaN where undefined.
import type { LogHeader } from '../header/logHeader.ts';
import type { RowBlock } from '../table/rowBlock.ts';
import { CellPlate } from './cellPlate.ts';
import { CellStrain } from './cellStrain.ts';
import { principalStress, vonMises } from './hooke.ts';
import type { CellLayout } from './layout.ts';
import { membraneForces, moments } from './plates.ts';
import type { InPlane } from './plates.ts';
import { rosetteQuantities } from './rosetteQuantities.ts';
import { spellsAt } from './sickSpell.ts';
import type { SickSpell } from './sickSpell.ts';
import type { StrainContext } from './strainContext.ts';

/** Strains dimensionless, directions in degrees, stress in pascal; NaN where undefined. */
export interface RosetteAtRow {
  readonly cell: number;
  readonly plane: number;
  readonly e1: number;
  readonly e2: number;
  readonly dirDeg: number;
  readonly dirErrorDeg: number;
  readonly s1: number;
  readonly s2: number;
  readonly vonMises: number;
  /** Its channels that are not to be believed at this row, and what was made of them. */
  readonly sick: readonly SickSpell[];
}

export interface CellAtRow {
  readonly cell: number;
  /** Kelvin against the datum. */
  readonly temperatureChange: number;
  /** Mx, My, Mxy in N m/m and Nx, Ny, Nxy in N/m; NaN without two planes. */
  readonly moments: InPlane;
  readonly forces: InPlane;
}

export interface PlateAtRow {
  readonly row: number;
  readonly line: number;
  readonly timeS: number;
  readonly layer: number;
  readonly rosettes: readonly RosetteAtRow[];
  readonly cells: readonly CellAtRow[];
}

const undefinedInPlane: InPlane = [NaN, NaN, NaN];
const degree = Math.PI / 180;

/** Reads states of one log; made once, asked for any row. */
export class PlateStateReader {
  readonly #header: LogHeader;
  readonly #sick: readonly SickSpell[];
  readonly #cells: readonly { layout: CellLayout; strain: CellStrain; plate: CellPlate }[];

  constructor(
    header: LogHeader,
    layouts: readonly CellLayout[],
    context: StrainContext,
    sick: readonly SickSpell[] = [],
  ) {
    this.#header = header;
    this.#sick = sick;
    this.#cells = layouts.map((layout) => {
      const strain = new CellStrain(header, layout, context, 1, { sick });
      return { layout, strain, plate: new CellPlate(header, layout, strain) };
    });
  }

  /** `row` counts from 0 within the block. */
  at(rows: RowBlock, row: number): PlateAtRow {
    const single = oneRow(rows, row);
    const role = (column: number): number => (column < 0 ? NaN : single.columns[column]![0]!);
    const layer = role(this.#header.roles.layer);
    const states = this.#cells.map((cell) => this.#cellState(cell, single));
    return {
      row: single.firstRow,
      line: single.lines[0]!,
      timeS: role(this.#header.roles.time),
      layer: Number.isNaN(layer) ? -1 : layer,
      rosettes: states.flatMap(({ rosettes }) => rosettes),
      cells: states.map(({ cell }) => cell),
    };
  }

  #cellState(
    { layout, strain, plate }: { layout: CellLayout; strain: CellStrain; plate: CellPlate },
    single: RowBlock,
  ): { rosettes: RosetteAtRow[]; cell: CellAtRow } {
    const material = this.#header.plate;
    const block = strain.convert(single);
    const timeS = single.columns[this.#header.roles.time]![0]!;
    const rosettes = layout.rosettes.map(({ cell, plane }, r) => {
      const rosette = { block: block.rosettes[r]!, solver: strain.solver(r), plate: material };
      const e1 = rosette.block.e1[0] ?? NaN;
      const e2 = rosette.block.e2[0] ?? NaN;
      const { s1, s2 } = principalStress(e1, e2, material);
      return {
        cell,
        plane,
        e1,
        e2,
        dirDeg: (rosette.block.dir[0] ?? NaN) / degree,
        dirErrorDeg: rosetteQuantities['dir_err']!(rosette, 0) / degree,
        s1,
        s2,
        vonMises: vonMises(s1, s2),
        sick: spellsAt(this.#sick, cell, plane, timeS),
      };
    });
    const bent = plate.at(block, 0);
    return {
      rosettes,
      cell: {
        cell: layout.cell,
        temperatureChange: strain.temperatureAt(0),
        moments: bent ? moments(bent.curvature, material, material.thicknessM) : undefinedInPlane,
        forces: bent ? membraneForces(bent.mid, material, material.thicknessM) : undefinedInPlane,
      },
    };
  }
}

function oneRow(rows: RowBlock, row: number): RowBlock {
  return {
    rows: 1,
    firstRow: rows.firstRow + row,
    columns: rows.columns.map((column) => column.slice(row, row + 1)),
    lines: rows.lines.slice(row, row + 1),
    offsets: rows.offsets.slice(row, row + 1),
  };
}
