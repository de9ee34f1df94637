// Which lines belong into one plot: series of one cell and plane that share a unit and are read together.
import { quantityOf, shownUnit } from '../../src/core/display/quantities.ts';
import { onlyTeaching } from '../../src/core/display/text/unjudged.ts';
import type { SeriesInfo } from '../../src/messages/analysis.ts';

export interface PlotLineChoice {
  readonly series: string;
  readonly title: string;
  /** Series with the standard error of this one, '' where there is none. */
  readonly errorSeries: string;
}

export interface QuantityGroup {
  readonly name: string;
  readonly title: string;
  /** As shown; a value as answered is multiplied by `factor` for it. */
  readonly unitLabel: string;
  readonly factor: number;
  readonly axial: boolean;
  /** Drawn as change since the window's start: readings of one unit may lie far apart. */
  readonly relative: boolean;
  /** Of interest where it is small only: the value axis ends there. */
  readonly smallCounts: boolean;
  /** What must be known to read the plot of a log with layers, '' for nothing. */
  readonly hint: string;
  readonly lines: readonly PlotLineChoice[];
}

interface GroupForm {
  readonly name: string;
  readonly title: string;
  readonly suffixes: readonly string[];
  readonly smallCounts?: boolean;
  readonly hint?: string;
}

const forms: readonly GroupForm[] = [
  // First, since it is all that a cell without a tensor has.
  { name: 'fibres', title: 'Strain along the fibres', suffixes: ['strain'] },
  { name: 'principal', title: 'Principal strains', suffixes: ['e1', 'e2'] },
  { name: 'direction', title: 'Principal direction', suffixes: ['dir'] },
  { name: 'components', title: 'Strain components', suffixes: ['ex', 'ey', 'gxy'] },
  { name: 'shear', title: 'Largest shear', suffixes: ['gmax'] },
  { name: 'stress', title: 'Stress', suffixes: ['s1', 's2', 'vm'] },
  { name: 'margin', title: 'Margin to yield', suffixes: ['margin'], smallCounts: true },
  { name: 'energy', title: 'Elastic energy', suffixes: ['energy'] },
  { name: 'residual', title: 'Residual of the fit', suffixes: ['resid'] },
  { name: 'residual-ratio', title: 'Residual over its noise', suffixes: ['resid_ratio'] },
  { name: 'temperature', title: 'Temperature change', suffixes: ['dt'] },
  { name: 'moments', title: 'Bending moments', suffixes: ['mx', 'my', 'mxy'] },
  { name: 'forces', title: 'Membrane forces', suffixes: ['nx', 'ny', 'nxy'] },
  { name: 'curvature', title: 'Curvature', suffixes: ['kx', 'ky', 'kxy'] },
  { name: 'faces', title: 'Von Mises stress at the faces', suffixes: ['vm_top', 'vm_bottom'] },
  {
    name: 'face-margins',
    title: 'Margin to yield at the faces',
    suffixes: ['margin_top', 'margin_bottom'],
    smallCounts: true,
  },
];

/** Comes last: where there is no tensor, readings are what is looked at first. */
const statisticForm: GroupForm = {
  name: 'statistic',
  title: 'Detector: statistic and threshold',
  suffixes: ['statistic', 'threshold'],
  hint: `What passes the threshold at first is not told: ${onlyTeaching}`,
};

/** All groups that a cell offers on a plane, then its readings and the log's own columns and derived series by unit. */
export function quantityGroups(series: readonly SeriesInfo[], cell: number, plane: number): QuantityGroup[] {
  const own = series.filter((one) => one.cell === cell && (one.plane === plane || one.plane < 0));
  const computed = own.filter(({ quantity }) => quantity !== '' && !quantity.endsWith('_err'));
  const known = forms.map((form) => groupOf(form, own));
  const named = new Set([...forms, statisticForm].flatMap(({ suffixes }) => suffixes));
  const others = [...new Set(computed.map(({ quantity }) => quantity).filter((suffix) => !named.has(suffix)))];
  const rest = others.map((suffix) => groupOf({ name: suffix, title: suffix, suffixes: [suffix] }, own));
  return [
    ...known,
    ...rest,
    ...byUnit('readings', 'Readings', own),
    ...byUnit(
      'plate',
      'Plate and derived',
      series.filter((one) => one.cell < 0),
    ),
    groupOf(statisticForm, own),
  ].filter(({ lines }) => lines.length > 0);
}

function groupOf(form: GroupForm, own: readonly SeriesInfo[]): QuantityGroup {
  const { name, title, suffixes, smallCounts = false, hint = '' } = form;
  const found = suffixes.flatMap((suffix) => own.filter(({ quantity }) => quantity === suffix));
  return {
    name,
    title,
    ...shownOf(found[0]),
    axial: suffixes.includes('dir'),
    relative: false,
    smallCounts,
    hint,
    lines: found.map(({ id, quantity }) => ({
      series: id,
      title: suffixes.includes('strain') ? id : quantity,
      errorSeries: own.find((one) => one.quantity === `${quantity}_err`)?.id ?? '',
    })),
  };
}

function shownOf(series: SeriesInfo | undefined): Pick<QuantityGroup, 'unitLabel' | 'factor'> {
  const quantity = series && quantityOf(series.quantity);
  if (!quantity) return { unitLabel: series?.unitLabel ?? '', factor: 1 };
  const { unit, factor } = shownUnit(quantity);
  return { unitLabel: unit.unitLabel, factor };
}

/** Series that have no quantity (raw columns, derived expressions), one group for each unit. */
function byUnit(name: string, title: string, series: readonly SeriesInfo[]): QuantityGroup[] {
  const raw = series.filter(({ quantity }) => quantity === '');
  const units = [...new Set(raw.map(({ unitLabel }) => unitLabel))];
  return units.map((unitLabel) => {
    const lines = raw.filter((one) => one.unitLabel === unitLabel);
    return {
      name: `${name}:${unitLabel}`,
      title: unitLabel === '' ? title : `${title} in ${unitLabel}`,
      unitLabel,
      factor: 1,
      axial: false,
      relative: lines.length > 1,
      smallCounts: false,
      hint: '',
      lines: lines.map(({ id }) => ({ series: id, title: id, errorSeries: '' })),
    };
  });
}
