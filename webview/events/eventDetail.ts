// One event in full: what it is, why we think so, what changed at which cell, which line proves it, and what people said.
import { clock, measure, undefinedText } from '../../src/core/display/numberFormat.ts';
import { placeText } from '../../src/core/display/text/placeText.ts';
import type { Verdict } from '../../src/messages/view.ts';
import type { App } from '../app.ts';
import type { MapView } from '../choices.ts';
import { button, setPressed } from '../controls.ts';
import { element } from '../element.ts';
import type { StrainEvent } from '../logTypes.ts';
import { changeTable } from './changeTable.ts';
import { verdictOf } from './eventOrder.ts';

export function eventDetail(app: App, event: StrainEvent): HTMLElement {
  return element('article', { class: `detail ${event.severity}`, 'aria-label': `The ${event.kind} in full` }, [
    element('p', { class: 'message' }, [event.message]),
    actions(app, event),
    facts(app, event),
    element('h3', {}, ['Evidence']),
    element(
      'ul',
      { class: 'evidence' },
      event.evidence.map(({ text }) => element('li', {}, [text])),
    ),
    // A channel that moved by itself says nothing of the strain at its cell.
    ...(event.cells.some(({ change: [ex] }) => Number.isFinite(ex)) ? [changeTable(app, event)] : []),
    ...notesOf(app, event),
  ]);
}

function actions(app: App, event: StrainEvent): HTMLElement {
  const line = button(
    `Line ${event.line}`,
    'Show the first line of the event',
    () => app.chooseEvent(event, false),
    'primary',
  );
  const verdict = verdictOf(event, app.notes);
  const judge = (text: string, hint: string, value: Verdict): HTMLElement => {
    const made = button(text, hint, () => app.host.tell({ type: 'judge', eventId: event.id, verdict: value }));
    setPressed(made, verdict === value);
    return made;
  };
  const show = (text: string, hint: string, view: MapView): HTMLElement => {
    const made = button(text, hint, () => app.choices.set({ mapView: view, plateView: 'map' }));
    setPressed(made, app.choices.now.mapView === view);
    return made;
  };
  const cell = event.cells[0]?.cell ?? -1;
  return element('div', { class: 'actions' }, [
    element('div', { class: 'bar' }, [
      line,
      button('Around it', 'Zoom the plots to the time around the event', () => zoomAround(app, event)),
      button('Note…', 'Write a note on the line of the event', () =>
        app.host.tell({ type: 'addNote', timeS: event.timeS, cell, eventId: event.id }),
      ),
    ]),
    element('div', { class: 'bar', role: 'group', 'aria-label': 'On the map' }, [
      element('span', { class: 'bar-title' }, ['Map']),
      show('Before', 'the plate just before the event', 'before'),
      show('After', 'the plate when the event was known', 'after'),
      show('Difference', 'what changed', 'difference'),
    ]),
    element('div', { class: 'bar', role: 'group', 'aria-label': 'Your verdict' }, [
      element('span', { class: 'bar-title' }, ['Verdict']),
      judge('Confirmed', 'it happened', 'confirmed'),
      judge('False alarm', 'it did not happen', 'false-alarm'),
      judge('Unsure', 'it cannot be told', 'unsure'),
    ]),
  ]);
}

/** A window some twenty times as long as the event, at least half a minute to each side, with the cursor at the event. */
function zoomAround(app: App, event: StrainEvent): void {
  const end = Number.isFinite(event.endTimeS) ? event.endTimeS : event.detectedTimeS;
  const room = Math.max(30, 10 * (end - event.timeS));
  app.zoom(event.timeS - room, Math.max(end, event.timeS) + room);
  app.choices.set({ cursorS: event.timeS, hoverS: NaN });
}

function facts(app: App, event: StrainEvent): HTMLElement {
  const passing = Number.isFinite(event.endTimeS);
  const entries: (readonly [string, string])[] = [
    ['Began', `${clock(event.timeS, 1)}${event.layer >= 0 ? `, layer ${event.layer}` : ''}`],
    ['Known', knownText(event)],
    ...(passing ? [['Ended', clock(event.endTimeS, 1)] as const] : []),
    ...(Number.isFinite(event.originM[0]) ? [['Origin', placeText(event.originM, event.originSpreadM)] as const] : []),
    ...(event.part === '' ? [] : [['Part', event.part] as const]),
    ...(event.channels.length === 0
      ? []
      : [['Channels', event.channels.map((one) => channelName(app, one)).join(', ')] as const]),
    ...(event.sure ? [] : [['Kind', 'the evidence does not settle it'] as const]),
    ...(event.folded > 0 ? [['Like it', `${event.folded} more of this kind were folded into this one`] as const] : []),
  ];
  return element(
    'dl',
    { class: 'facts' },
    entries.flatMap(([name, text]) => [element('dt', {}, [name]), element('dd', {}, [text])]),
  );
}

/** The onset is refined after the event was known, so it may come to lie behind that moment. */
function knownText({ timeS, detectedTimeS }: StrainEvent): string {
  const lag = detectedTimeS - timeS;
  return `${clock(detectedTimeS, 1)}${lag > 0 ? `, ${measure(lag, 's')} later` : ''}`;
}

function channelName(app: App, channel: number): string {
  return app.summary?.header?.channels[channel]?.name ?? undefinedText;
}

function notesOf(app: App, event: StrainEvent): HTMLElement[] {
  const texts = app.notes.filter(({ eventId, text }) => eventId === event.id && text !== '').map(({ text }) => text);
  if (texts.length === 0) return [];
  return [
    element('h3', {}, ['Notes']),
    element(
      'ul',
      { class: 'notes' },
      texts.map((text) => element('li', {}, [text])),
    ),
  ];
}
