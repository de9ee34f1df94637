// Series that only the pass over the log can give, since they depend on all rows before: the detector's statistic and its
// threshold, one of each a cell. They live in the pyramid alone, so they are as fine as its buckets and no finer.
import type { LogHeader } from '../header/logHeader.ts';
import { seriesName } from '../display/quantities.ts';
import { cellLayouts } from '../strain/layout.ts';
import type { SeriesEntry } from '../strain/seriesCatalog.ts';

/** In the order in which the pyramid of a cell holds them. */
export const watched = [
  { suffix: 'statistic', title: "surprise of the detector's best look, -ln of its probability by chance" },
  { suffix: 'threshold', title: 'surprise at which the cell alone is told' },
] as const;

export function watchedSeries(header: LogHeader): SeriesEntry[] {
  return cellLayouts(header)
    .filter(({ rosettes }) => rosettes.length > 0)
    .flatMap(({ cell }) =>
      watched.map(({ suffix, title }) => {
        const id = seriesName(header.cells[cell]!.name, '', suffix);
        return { id, cell, plane: -1, quantity: suffix, title, unitLabel: '' };
      }),
    );
}
