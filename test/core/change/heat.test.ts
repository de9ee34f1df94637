// Simulated builds in which the laser stops: the truth is the scenario's pause.
import assert from 'node:assert/strict';
import type { StrainEvent } from '../../../src/core/change/events.ts';
import { Session } from '../../../src/core/session.ts';
import { scenarioOf, simulateBuild } from '../../support/simulatedBuild.ts';

const calm = `scenario: 1
seed: 77
build: {name: tray 3, started: '2026-03-11T17:12:00Z', layer_height: 40 um, layers: 60, planned_layers: 60}
rate: 1 Hz
warm_up: 180 s
plate: {size: [250 mm, 250 mm], thickness: 30 mm, material: Al 6061-T6}
planes: {up: {height: 9 mm}}
cells: {columns: 2, rows: 2, margin: 60 mm}
fibres: {kind: bragg, directions: [0 deg, 45 deg, 90 deg]}
datum: {from: 60 s, to: 180 s}
heat: {exposure: 4 K, wander: 0.05 K}
parts:
  lever: {outline: [[30 mm, 30 mm], [220 mm, 30 mm], [220 mm, 220 mm], [30 mm, 220 mm]], shrinkage: 90 um/m}
`;
const stopped = `${calm}events:
- {kind: pause, at: {layer: 40, after: 12 s}, lasts: 200 s}
`;

function heatOf(text: string, piece: number): StrainEvent[] {
  const session = new Session({ settings: {}, pyramid: false });
  const bytes = new TextEncoder().encode(text);
  for (let from = 0; from < bytes.length; from += piece) session.push(bytes.subarray(from, from + piece));
  session.finish();
  return session.events.filter(({ nature }) => nature === 'thermal');
}

describe('heat', () => {
  it('is told once for the plate while the laser stands still, with its end, whatever the pieces', () => {
    const { text, truth } = simulateBuild(scenarioOf(stopped));
    const [pause] = truth.filter(({ kind }) => kind === 'heat');
    const events = heatOf(text, 65_536);
    assert.equal(events.length, 1);
    const [event] = events;
    assert.equal(event!.kind, 'heat');
    assert.equal(event!.severity, 'information');
    assert.ok(event!.timeS >= pause!.timeS && event!.timeS < pause!.endTimeS, `onset ${event!.timeS}`);
    assert.ok(event!.detectedTimeS < pause!.endTimeS, `known at ${event!.detectedTimeS}`);
    assert.ok(event!.endTimeS > event!.detectedTimeS);
    assert.match(event!.message, /colder than usual/);
    assert.deepEqual(heatOf(text, 4099), events);
  });

  it('is not told where the laser does not stop', () => {
    assert.deepEqual(heatOf(simulateBuild(scenarioOf(calm)).text, 65_536), []);
  });
});
