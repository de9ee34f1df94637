// The strip of the whole build as a drawing: layers, datum window, events, notes, the shown window and the cursor.
import { clock } from '../../src/core/display/numberFormat.ts';
import { niceTicks, timeTicks } from '../../src/core/display/ticks.ts';
import { svg, type SvgNode } from '../../src/core/display/svg/svg.ts';
import type { LogSummary, WindowReply } from '../../src/messages/analysis.ts';
import type { NoteMark } from '../../src/messages/view.ts';
import { rank } from '../events/eventOrder.ts';
import { eventSign } from '../events/eventSign.ts';
import type { StrainEvent } from '../logTypes.ts';

/** What the strip shows; times in seconds of the log. */
export interface Strip {
  readonly widthPx: number;
  readonly startS: number;
  readonly endS: number;
  /** The shown window. */
  readonly fromS: number;
  readonly toS: number;
  /** Of the lines selected in the text; NaN where none are. */
  readonly selectedFromS: number;
  readonly selectedToS: number;
  readonly cursorS: number;
  readonly datum: LogSummary['datum'];
  readonly layers: WindowReply['layers'];
  readonly notes: readonly NoteMark[];
  readonly events: readonly StrainEvent[];
  /** The chosen event, drawn over the others. */
  readonly eventId: string;
}

type Place = (timeS: number) => number;

const heightPx = 58;
const baseline = 40;

export function stripDrawing(strip: Strip): SvgNode {
  const { widthPx: width, startS, endS, fromS, toS, selectedFromS, selectedToS, events, eventId } = strip;
  const x = (timeS: number): number => 8 + ((timeS - startS) / (endS - startS)) * (width - 16);
  // Where signs lie on one another, as those of hundreds of events do, the gravest is on top.
  const gravestLast = [...events].sort((a, b) => rank[b.severity] - rank[a.severity]);
  return svg('svg', { viewBox: `0 0 ${width} ${heightPx}`, width, height: heightPx, 'aria-hidden': 'true' }, [
    svg('rect', { class: 'all', x: 8, y: 14, width: width - 16, height: baseline - 14 }),
    svg('rect', { class: 'shown', x: x(fromS), y: 14, width: Math.max(2, x(toS) - x(fromS)), height: baseline - 14 }),
    ...(selectedToS > selectedFromS
      ? [
          svg('rect', {
            class: 'selected',
            x: x(selectedFromS),
            y: 14,
            width: Math.max(1, x(selectedToS) - x(selectedFromS)),
            height: baseline - 14,
          }),
        ]
      : []),
    ...datumMark(strip, x),
    svg('path', { class: 'layers', d: layerPath(strip, x) }),
    ...layerLabels(strip, x),
    ...timeTicks(startS, endS, Math.max(2, width / 110)).map((time) =>
      svg(
        'text',
        { class: 'tick', x: Math.max(22, Math.min(width - 22, x(time))), y: heightPx - 6, 'text-anchor': 'middle' },
        [clock(time)],
      ),
    ),
    ...strip.notes
      .filter(({ timeS }) => Number.isFinite(timeS))
      .map(({ timeS }) => svg('circle', { class: 'note', cx: x(timeS), cy: baseline - 3, r: 2.5 })),
    ...gravestLast.map((event) =>
      svg('path', { class: `stem ${event.severity}`, d: `M${Math.round(x(event.timeS))} 14V${baseline}` }),
    ),
    ...[...gravestLast]
      .sort((a, b) => Number(a.id === eventId) - Number(b.id === eventId))
      .map((event) =>
        svg('g', { class: event.id === eventId ? 'chosen' : '', 'data-event': event.id }, [
          svg('title', {}, [`${event.kind} at ${clock(event.timeS)}`]),
          eventSign(event, x(event.timeS), 20),
        ]),
      ),
    svg('path', { class: 'cursor', d: `M${Math.round(x(strip.cursorS)) + 0.5} 8V${baseline + 4}` }),
  ]);
}

/** The datum window, whose mean is called zero: a bar along the foot of the strip. */
function datumMark({ datum }: Strip, x: Place): SvgNode[] {
  if (!datum || !(datum.toS > datum.fromS)) return [];
  const width = Math.max(3, x(datum.toS) - x(datum.fromS));
  const name = `Datum window, ${clock(datum.fromS)} to ${clock(datum.toS)}: its mean is zero strain`;
  return [
    svg('rect', { class: 'datum', x: x(datum.fromS), y: baseline - 3, width, height: 4 }, [svg('title', {}, [name])]),
  ];
}

function layerPath({ layers, widthPx }: Strip, x: Place): string {
  let last = -Infinity;
  return layers
    .map(({ timeS }) => x(timeS))
    .filter((at) => {
      const keep = at - last >= 3 && at <= widthPx - 8;
      if (keep) last = at;
      return keep;
    })
    .map((at) => `M${Math.round(at) + 0.5} ${baseline}v-5`)
    .join('');
}

/** A few layer numbers over the strip, at round layers. */
function layerLabels({ layers, widthPx: width }: Strip, x: Place): SvgNode[] {
  if (layers.length < 2) return [];
  const round = new Set(niceTicks(0, layers.at(-1)!.layer, Math.max(2, width / 120)).map(Math.round));
  return layers
    .filter(({ layer }) => round.has(layer) && layer > 0)
    .map(({ layer, timeS }) =>
      svg('text', { class: 'tick', x: Math.min(width - 24, x(timeS)), y: 10, 'text-anchor': 'middle' }, [
        `layer ${layer}`,
      ]),
    );
}
