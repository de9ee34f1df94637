import assert from 'node:assert/strict';
import type { NoteMark } from '../../../src/messages/view.ts';
import { eventSize, shownEvents, verdictOf, type EventFilter } from '../../../webview/events/eventOrder.ts';
import type { StrainEvent } from '../../../webview/logTypes.ts';

function event(id: string, change: Partial<StrainEvent>): StrainEvent {
  return {
    id,
    nature: 'mechanical',
    kind: 'release',
    severity: 'error',
    sure: true,
    row: 0,
    line: 1,
    timeS: 0,
    endTimeS: NaN,
    detectedRow: 0,
    detectedTimeS: 0,
    layer: 0,
    cells: [],
    channels: [],
    originM: [NaN, NaN],
    originSpreadM: NaN,
    part: '',
    evidence: [],
    message: '',
    loneChannel: -1,
    folded: 0,
    ...change,
  };
}

const cell = { cell: 0, plane: 0, turnDeg: NaN, turnErrorDeg: NaN, sigmas: 9 };
const events = [
  event('late', { timeS: 30, cells: [{ ...cell, change: [3e-5, 0, 4e-5] }] }),
  event('spike', { nature: 'sensor', kind: 'spike', severity: 'information', timeS: 1 }),
  event('strike', {
    kind: 'strike',
    severity: 'warning',
    timeS: 20,
    part: 'ring',
    cells: [{ ...cell, change: [1e-4, 0, 0] }],
  }),
  event('early', { timeS: 10, cells: [{ ...cell, change: [NaN, NaN, NaN] }] }),
];
const note = (eventId: string, verdict: NoteMark['verdict']): NoteMark => ({
  timeS: 0,
  line: 1,
  cell: -1,
  eventId,
  verdict,
  text: '',
});
const notes = [note('late', 'unsure'), note('late', 'confirmed'), note('late', ''), note('strike', 'false-alarm')];
const all: EventFilter = { nature: '', kind: '', part: '', verdict: '', order: 'severity' };
const ids = (filter: Partial<EventFilter>): string[] =>
  shownEvents(events, notes, { ...all, ...filter }).map(({ id }) => id);

describe('event list', () => {
  it('puts the gravest first, then the earlier', () => {
    assert.deepEqual(ids({}), ['early', 'late', 'strike', 'spike']);
  });

  it('can go by time or by size of change, unknown sizes last', () => {
    assert.deepEqual(ids({ order: 'time' }), ['spike', 'early', 'strike', 'late']);
    assert.deepEqual(ids({ order: 'size' }), ['strike', 'late', 'spike', 'early']);
    assert.ok(Math.abs(eventSize(events[0]!) - 5e-5) < 1e-12);
  });

  it('lets through what each filter names', () => {
    assert.deepEqual(ids({ nature: 'sensor' }), ['spike']);
    assert.deepEqual(ids({ kind: 'strike' }), ['strike']);
    assert.deepEqual(ids({ part: 'ring' }), ['strike']);
    assert.deepEqual(ids({ verdict: 'confirmed' }), ['late']);
    assert.deepEqual(ids({ verdict: 'none' }), ['early', 'spike']);
  });

  it('takes the last verdict given, not a later note without one', () => {
    assert.equal(verdictOf(events[0]!, notes), 'confirmed');
  });
});
