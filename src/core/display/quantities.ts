// Every quantity that can be plotted, mapped, exported or read out: its suffix in a series name, its title and its unit.
// The one source for these; derive, the view, hover and the report all read it.
// A series is named by its column (raw reading), `<column>_<suffix>` (one fibre), `<cell>_<plane>_<suffix>` (rosette),
// `<cell>_<suffix>` (cell) or `plate_<suffix>` (whole plate).
import {
  degrees,
  kelvin,
  kilojoulePerCubicMetre,
  kilonewtonPerMetre,
  megapascal,
  microstrain,
  newton,
  newtonMetre,
  newtonMetrePerMetre,
  newtonPerMetre,
  perMetre,
  unitless,
  type Unit,
} from './units.ts';

export interface Quantity extends Unit {
  readonly suffix: string;
  readonly title: string;
  readonly of: 'channel' | 'rosette' | 'cell' | 'plate';
  /** Drawn without a jump at 180 degrees. */
  readonly axial?: boolean;
  /** The unit of screens, where figures in that of files and answers would be long; left out: the same. */
  readonly shown?: Unit;
}

const forcePerLength = { ...newtonPerMetre, shown: kilonewtonPerMetre, of: 'cell' } as const;

export const quantities: readonly Quantity[] = [
  { suffix: 'strain', title: 'strain along the fibre', ...microstrain, of: 'channel' },
  { suffix: 'ex', title: 'strain along x', ...microstrain, of: 'rosette' },
  { suffix: 'ey', title: 'strain along y', ...microstrain, of: 'rosette' },
  { suffix: 'gxy', title: 'engineering shear strain', ...microstrain, of: 'rosette' },
  { suffix: 'e1', title: 'larger principal strain', ...microstrain, of: 'rosette' },
  { suffix: 'e2', title: 'smaller principal strain', ...microstrain, of: 'rosette' },
  { suffix: 'gmax', title: 'largest in-plane shear strain', ...microstrain, of: 'rosette' },
  { suffix: 'dir', title: 'principal direction (of e1)', ...degrees, of: 'rosette', axial: true },
  { suffix: 'dir_err', title: 'standard error of the principal direction', ...degrees, of: 'rosette' },
  { suffix: 's1', title: 'larger principal stress', ...megapascal, of: 'rosette' },
  { suffix: 's2', title: 'smaller principal stress', ...megapascal, of: 'rosette' },
  { suffix: 'vm', title: 'von Mises stress', ...megapascal, of: 'rosette' },
  {
    suffix: 'margin',
    title: 'margin to yield (yield / von Mises - 1)',
    ...unitless,
    of: 'rosette',
  },
  {
    suffix: 'energy',
    title: 'stored elastic energy density',
    ...kilojoulePerCubicMetre,
    of: 'rosette',
  },
  { suffix: 'resid', title: 'residual of the tensor fit', ...microstrain, of: 'rosette' },
  { suffix: 'e1_err', title: 'standard error of e1', ...microstrain, of: 'rosette' },
  { suffix: 'e2_err', title: 'standard error of e2', ...microstrain, of: 'rosette' },
  { suffix: 'vm_err', title: 'standard error of the von Mises stress', ...megapascal, of: 'rosette' },
  {
    suffix: 'resid_ratio',
    title: 'residual of the tensor fit over the noise expected of it',
    ...unitless,
    of: 'rosette',
  },
  { suffix: 'dt', title: 'temperature change since the datum', ...kelvin, of: 'cell' },
  { suffix: 'kx', title: 'curvature about y', ...perMetre, of: 'cell' },
  { suffix: 'ky', title: 'curvature about x', ...perMetre, of: 'cell' },
  { suffix: 'kxy', title: 'twist (engineering)', ...perMetre, of: 'cell' },
  { suffix: 'nx', title: 'membrane force along x per length', ...forcePerLength },
  { suffix: 'ny', title: 'membrane force along y per length', ...forcePerLength },
  { suffix: 'nxy', title: 'membrane shear force per length', ...forcePerLength },
  { suffix: 'mx', title: 'bending moment Mx per length', ...newtonMetrePerMetre, of: 'cell' },
  { suffix: 'my', title: 'bending moment My per length', ...newtonMetrePerMetre, of: 'cell' },
  { suffix: 'mxy', title: 'twisting moment Mxy per length', ...newtonMetrePerMetre, of: 'cell' },
  { suffix: 'mx_err', title: 'standard error of Mx', ...newtonMetrePerMetre, of: 'cell' },
  { suffix: 'my_err', title: 'standard error of My', ...newtonMetrePerMetre, of: 'cell' },
  { suffix: 'mxy_err', title: 'standard error of Mxy', ...newtonMetrePerMetre, of: 'cell' },
  { suffix: 'vm_top', title: 'von Mises stress at the top face (extrapolated)', ...megapascal, of: 'cell' },
  { suffix: 'margin_top', title: 'margin to yield at the top face (extrapolated)', ...unitless, of: 'cell' },
  { suffix: 'vm_bottom', title: 'von Mises stress at the bottom face (extrapolated)', ...megapascal, of: 'cell' },
  { suffix: 'margin_bottom', title: 'margin to yield at the bottom face (extrapolated)', ...unitless, of: 'cell' },
  { suffix: 'net_fx', title: 'net membrane force over a section normal to x', ...newton, of: 'plate' },
  { suffix: 'net_fy', title: 'net membrane force over a section normal to y', ...newton, of: 'plate' },
  { suffix: 'net_mx', title: 'net bending moment over a section normal to x', ...newtonMetre, of: 'plate' },
  { suffix: 'net_my', title: 'net bending moment over a section normal to y', ...newtonMetre, of: 'plate' },
];

export function quantityOf(suffix: string): Quantity | undefined {
  return quantities.find((quantity) => quantity.suffix === suffix);
}

/** The unit that screens show a quantity in, and what its values in files and answers are multiplied by for that. */
export function shownUnit(quantity: Quantity): { readonly unit: Unit; readonly factor: number } {
  const unit = quantity.shown ?? quantity;
  return { unit, factor: unit.scale / quantity.scale };
}

/** `B2_up_e1`; the plane's name is left out where the log names none. */
export function seriesName(cell: string, plane: string, suffix: string): string {
  return plane === '' ? `${cell}_${suffix}` : `${cell}_${plane}_${suffix}`;
}
