// What happened: the list of events, sorted and filtered, with the evidence of the chosen one beneath it.
import { clock, countOf } from '../../src/core/display/numberFormat.ts';
import { unjudged } from '../../src/core/display/text/unjudged.ts';
import { svg } from '../../src/core/display/svg/svg.ts';
import { isReadToEnd, type LogSummary } from '../../src/messages/analysis.ts';
import type { App } from '../app.ts';
import type { EventOrder } from '../choices.ts';
import { dropdown, type Choice } from '../controls.ts';
import { element, panel } from '../element.ts';
import { replaceKeepingFocus } from '../keptFocus.ts';
import type { StrainEvent } from '../logTypes.ts';
import { drawnSvg } from '../map/svgDom.ts';
import { eventDetail } from './eventDetail.ts';
import { shownEvents, verdictOf } from './eventOrder.ts';
import { eventSign, severityWords } from './eventSign.ts';

const orders: readonly Choice[] = [
  { value: 'severity', text: 'gravest first' },
  { value: 'time', text: 'in time' },
  { value: 'size', text: 'largest change first' },
];
const verdictTexts: Readonly<Record<string, string>> = {
  confirmed: 'confirmed',
  'false-alarm': 'false alarm',
  unsure: 'unsure',
  none: 'not judged',
};

/** Cells or channels named in an entry; the others are counted. */
const mostNamed = 3;

export class EventPanel {
  readonly root: HTMLElement;
  readonly #app: App;
  readonly #list = element('ul', { class: 'event-list', role: 'listbox', 'aria-label': 'Events', tabindex: 0 });
  readonly #empty = element('p', { class: 'empty-list' });
  readonly #detail = element('div', { class: 'event-detail' });
  readonly #heading: HTMLElement;
  readonly #filters;
  #shown: StrainEvent[] = [];
  #drawn = '';

  constructor(app: App) {
    this.#app = app;
    const { section, heading, bar } = panel('events', 'Events');
    this.root = section;
    this.#heading = heading;
    this.#filters = {
      order: dropdown('Order', (value) => app.choices.set({ order: value as EventOrder })),
      nature: dropdown('Nature', (value) => app.choices.set({ nature: value })),
      kind: dropdown('Kind', (value) => app.choices.set({ kind: value })),
      part: dropdown('Part', (value) => app.choices.set({ part: value })),
      verdict: dropdown('Verdict', (value) => app.choices.set({ verdict: value })),
    };
    const { order, ...filters } = this.#filters;
    const more = element('details', { class: 'choose' }, [
      element('summary', {}, ['Filter']),
      element(
        'div',
        { class: 'bar' },
        Object.values(filters).map(({ root }) => root),
      ),
    ]);
    bar.append(order.root);
    section.append(more, this.#list, this.#empty, this.#detail);
    this.#list.addEventListener('keydown', (event) => this.#key(event));
    this.#list.addEventListener('click', (event) => this.#click(event));
    app.onLog(() => this.#draw());
    app.choices.on(['nature', 'kind', 'part', 'verdict', 'order', 'eventId', 'mapView'], () => this.#draw());
  }

  #draw(): void {
    const { summary, notes, choices } = this.#app;
    this.root.hidden = !summary?.header;
    if (!summary?.header) return;
    const { nature, kind, part, verdict, order, eventId, mapView } = choices.now;
    const key = JSON.stringify([
      summary.name,
      summary.state,
      unjudged(summary),
      summary.events,
      notes,
      nature,
      kind,
      part,
      verdict,
      order,
      eventId,
      mapView,
    ]);
    if (key === this.#drawn) return; // A rebuilt list would lose the focus at every row of a growing log.
    this.#drawn = key;
    this.#shown = shownEvents(summary.events, notes, choices.now);
    const hidden = summary.events.length - this.#shown.length;
    this.#heading.textContent = headingOf(summary);
    this.#offer(summary.events);
    this.#list.hidden = this.#shown.length === 0;
    this.#list.replaceChildren(...this.#shown.map((event) => this.#option(event)));
    const chosen = this.#shown.find(({ id }) => id === eventId);
    this.#list.setAttribute('aria-activedescendant', chosen ? optionId(chosen.id) : '');
    this.#empty.textContent = this.#emptyText(hidden);
    this.#empty.hidden = this.#empty.textContent === '';
    this.#detail.hidden = !chosen;
    replaceKeepingFocus(this.#detail, ...(chosen ? [eventDetail(this.#app, chosen)] : []));
  }

  #emptyText(hidden: number): string {
    const summary = this.#app.summary!;
    const { chosenEvent } = this.#app;
    const among = hidden > 1 && chosenEvent && !this.#app.isListed(chosenEvent) ? ', the chosen one among them' : '';
    if (hidden > 0) return `${countOf(hidden, 'event is', 'events are')} hidden by the filter${among}.`;
    if (this.#shown.length > 0) return '';
    if (!isReadToEnd(summary.state)) return 'No change found so far.';
    const why = unjudged(summary);
    if (why !== '') return why;
    return summary.state === 'complete' ? 'No change was found in this log.' : 'No change found so far.';
  }

  #offer(events: readonly StrainEvent[]): void {
    const { now } = this.#app.choices;
    const distinct = (values: readonly string[], all: string, name = (value: string): string => value): Choice[] => [
      { value: '', text: all },
      ...[...new Set(values)]
        .filter((value) => value !== '')
        .sort()
        .map((value) => ({ value, text: name(value) })),
    ];
    const verdicts = events.map((event) => verdictOf(event, this.#app.notes) || 'none');
    this.#filters.order.show(orders, now.order);
    this.#filters.nature.show(
      distinct(
        events.map(({ nature }) => nature),
        'any',
      ),
      now.nature,
    );
    this.#filters.kind.show(
      distinct(
        events.map(({ kind }) => kind),
        'any',
      ),
      now.kind,
    );
    this.#filters.part.show(
      distinct(
        events.map(({ part }) => part),
        'any',
      ),
      now.part,
    );
    this.#filters.verdict.show(
      distinct(verdicts, 'any', (value) => verdictTexts[value]!),
      now.verdict,
    );
  }

  #option(event: StrainEvent): HTMLElement {
    const verdict = verdictOf(event, this.#app.notes);
    const chosen = event.id === this.#app.choices.now.eventId;
    const names = this.#namesOf(event);
    const more = names.length - mostNamed;
    const named = [...names.slice(0, mostNamed), ...(more > 0 ? [`+${more}`] : [])].join(' ');
    const place = event.part === '' ? named : `${named} · ${event.part}`;
    const layer = event.layer >= 0 ? `layer ${event.layer}, ` : '';
    const sign = svg('svg', { class: 'sign', viewBox: '-8 -8 16 16', width: 16, height: 16, 'aria-hidden': 'true' }, [
      eventSign(event, 0, 0),
    ]);
    return element(
      'li',
      { role: 'option', id: optionId(event.id), 'data-event': event.id, 'aria-selected': String(chosen) },
      [
        drawnSvg(sign),
        element('span', { class: 'kind' }, [`${event.kind}${event.sure ? '' : '?'}`]),
        element('span', { class: 'severity' }, [
          event.nature === 'mechanical' ? severityWords[event.severity] : event.nature,
        ]),
        element('span', { class: 'place', title: place }, [place]),
        element('span', { class: 'when' }, [`${layer}${clock(event.timeS)}`]),
        verdict === '' ? undefined : element('span', { class: `verdict ${verdict}` }, [verdictTexts[verdict]!]),
      ],
    );
  }

  /** The channels that are sick, else the cells that changed. */
  #namesOf({ cells, channels }: StrainEvent): string[] {
    if (channels.length > 0) return channels.map((one) => this.#app.summary?.header?.channels[one]?.name ?? '');
    return [...new Set(cells.map(({ cell }) => cell))].map((cell) => this.#app.cellName(cell));
  }

  #click(event: MouseEvent): void {
    const option = event.target instanceof Element ? event.target.closest('[data-event]') : null;
    const found = this.#shown.find(({ id }) => id === option?.getAttribute('data-event'));
    if (found) this.#app.chooseEvent(found, true);
  }

  #key(event: KeyboardEvent): void {
    const at = this.#shown.findIndex(({ id }) => id === this.#app.choices.now.eventId);
    const last = this.#shown.length - 1;
    const next = { ArrowDown: Math.min(last, at + 1), ArrowUp: Math.max(0, at - 1), Home: 0, End: last }[event.key];
    if (next !== undefined) {
      event.preventDefault();
      this.#app.chooseEvent(this.#shown[next]!, true);
      document.getElementById(optionId(this.#shown[next]!.id))?.scrollIntoView({ block: 'nearest' });
    } else if (event.key === 'Enter' && at >= 0) {
      event.preventDefault();
      this.#app.chooseEvent(this.#shown[at]!, false);
    }
  }
}

function headingOf(summary: LogSummary): string {
  const { events, state } = summary;
  if (events.length === 0 && isReadToEnd(state) && unjudged(summary) !== '') return 'Events: not judged';
  return `${countOf(events.length, 'event', 'events')}${isReadToEnd(state) ? '' : ' so far'}`;
}

function optionId(id: string): string {
  return `event-${id}`;
}
