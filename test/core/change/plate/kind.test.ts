// From facts to a kind. What speaks for which is common practice, no published source.
import assert from 'node:assert/strict';
import { kindOf } from '../../../../src/core/change/plate/kind.ts';
import type { IncidentFacts } from '../../../../src/core/change/plate/kind.ts';

/** A lasting change of one cell of many that no single channel could have made. */
const facts: IncidentFacts = {
  passing: false,
  ramp: false,
  cells: 1,
  together: 1,
  shared: false,
  early: false,
  again: false,
  plateCells: 12,
  evenness: 1,
  soloEvidence: -20,
  loneChannelSick: false,
  secondShare: 0,
  isotropy: 0.4,
  principalRatio: -0.2,
  widthPitches: NaN,
  heatShare: 0,
  temperatureNoises: NaN,
  heated: false,
  outOfRhythm: false,
  sigmas: 12,
  gradual: false,
  slow: false,
  phaseKnown: false,
  inRecoat: false,
  spanS: 60,
  unmeasured: false,
  expansion: 0,
  drifting: false,
  astray: false,
  poissonsRatio: 0.33,
};

function told(change: Partial<IncidentFacts>): string {
  const { nature, kind } = kindOf({ ...facts, ...change });
  return `${nature} ${kind}`;
}

describe('kind of a change', () => {
  it('is a crack where one cell lets go across itself only', () => {
    assert.equal(told({}), 'mechanical crack');
  });

  it('is not sure where it is one of several that change over most of the plate at once, falling off or not', () => {
    const sure = (change: Partial<IncidentFacts>): boolean =>
      kindOf({ ...facts, secondShare: 0.5, ...change }).natureSure;
    for (const passing of [false, true]) {
      assert.equal(sure({ passing, cells: 4, together: 4, evenness: 0.2 }), true);
      assert.equal(sure({ passing, cells: 4, together: 11, evenness: 0.2 }), false);
      assert.equal(sure({ passing, cells: 11, together: 11, evenness: 0.9 }), false);
      // A gross break in the midst of the plate.
      assert.equal(sure({ passing, cells: 10, together: 11, evenness: 0.2 }), true);
    }
    assert.equal(sure({ passing: true, cells: 4, together: 11, inRecoat: true }), true);
  });

  it('is not sure where several cells changed by the same in all directions', () => {
    const { natureSure, sure } = kindOf({ ...facts, cells: 4, together: 4, evenness: 0.9, shared: true });
    assert.deepEqual([natureSure, sure], [false, false]);
  });

  it('is not sure while a cycle that no layers tell would look the same', () => {
    const sure = (change: Partial<IncidentFacts>): boolean[] => {
      const { kind, natureSure } = kindOf({
        ...facts,
        cells: 3,
        together: 3,
        evenness: 0.3,
        secondShare: 0.5,
        ...change,
      });
      assert.ok(['crack', 'strike', 'creep-off'].includes(kind), kind);
      return [natureSure];
    };
    for (const change of [{}, { ramp: true }, { passing: true }]) {
      assert.deepEqual([sure(change), sure({ ...change, early: true })], [[true], [false]]);
      assert.deepEqual(sure({ ...change, again: true }), [false]);
    }
  });

  it('is the channel where one that was found wandering could have made it', () => {
    assert.equal(told({ soloEvidence: -6 }), 'mechanical crack');
    assert.equal(told({ soloEvidence: -6, loneChannelSick: true }), 'sensor wander');
    assert.equal(told({ soloEvidence: -20, loneChannelSick: true }), 'mechanical crack');
  });

  it('is the channel where so large a change of a fibre leaves the next cells alone', () => {
    assert.equal(told({ soloEvidence: 2, sigmas: 50 }), 'sensor jump');
    assert.equal(
      told({ soloEvidence: 2, sigmas: 50, cells: 3, secondShare: 0.4, principalRatio: 0.5 }),
      'mechanical release',
    );
    assert.equal(told({ soloEvidence: 2, sigmas: 12 }), 'mechanical crack');
  });

  it('is a crack where a small change along a fibre may be either, and the channel where it is clearly that', () => {
    // A crack across a fibre moves the fibres 60 degrees off hardly: a change of ten noises speaks for the channel by 4.
    assert.equal(told({ soloEvidence: 4 }), 'mechanical crack');
    assert.equal(told({ soloEvidence: 7 }), 'sensor jump');
  });

  it('is temperature where most of the plate changes slowly, alike and the same in all directions', () => {
    const common = { cells: 9, together: 11, evenness: 0.8, isotropy: 0.8, principalRatio: 0.6, gradual: true };
    assert.equal(told(common), 'thermal heat');
    assert.equal(told({ ...common, gradual: false }), 'mechanical release');
    assert.equal(told({ ...common, together: 5, cells: 5 }), 'mechanical release');
    assert.equal(told({ ...common, evenness: 0.3 }), 'mechanical release');
  });

  it('is temperature where several cells change evenly while it does what it does not do by chance', () => {
    const even = { cells: 3, secondShare: 0.8, isotropy: 0.7, principalRatio: 0.5 };
    assert.equal(told({ ...even, temperatureNoises: 3 }), 'mechanical release');
    assert.equal(told({ ...even, temperatureNoises: 7 }), 'thermal heat');
    assert.equal(told({ ...even, temperatureNoises: 7, isotropy: 0.3 }), 'mechanical release');
    assert.equal(told({ ...even, temperatureNoises: 7, sigmas: 60 }), 'mechanical release');
    assert.equal(told({ temperatureNoises: 7, isotropy: 0.7 }), 'mechanical crack');
    assert.equal(told({ ...even, temperatureNoises: 12, isotropy: 0.3, cells: 5 }), 'thermal heat');
  });

  it('is no temperature where it was there sooner than heat crosses a plate', () => {
    const even = { cells: 4, together: 4, secondShare: 0.8, isotropy: 0.7, principalRatio: 0.5, outOfRhythm: true };
    assert.equal(told(even), 'thermal heat');
    assert.equal(told({ ...even, spanS: 2 }), 'mechanical release');
  });

  it('is temperature where a plate without thermometers expands as a whole, and where a part of it still does', () => {
    const whole = { cells: 4, together: 4, plateCells: 4, secondShare: 0.9, isotropy: 0.9, principalRatio: 0.8 };
    const unmeasured = { ...whole, gradual: true, expansion: 0.9, unmeasured: true };
    assert.equal(told(unmeasured), 'thermal heat');
    assert.equal(told({ ...unmeasured, expansion: 0.3 }), 'mechanical release');
    assert.equal(told({ ...unmeasured, unmeasured: false }), 'mechanical release');
    const part = { ...unmeasured, cells: 2, together: 2, drifting: true };
    assert.equal(told(part), 'thermal heat');
    assert.equal(told({ ...part, drifting: false }), 'mechanical release');
    assert.equal(told({ ...part, spanS: 1 }), 'mechanical release');
  });

  it('is a blow of the blade where one cell feels it with all its channels, not with one or two', () => {
    assert.equal(told({ passing: true }), 'mechanical strike');
    assert.equal(told({ passing: true, soloEvidence: -6 }), 'sensor spike');
    assert.equal(told({ passing: true, soloEvidence: -6, cells: 3, secondShare: 0.5 }), 'mechanical strike');
  });

  it('is no blow in the exposure', () => {
    assert.equal(told({ passing: true, phaseKnown: true, inRecoat: true }), 'mechanical strike');
    assert.equal(told({ passing: true, phaseKnown: true }), 'sensor spike');
    assert.equal(told({ passing: true, phaseKnown: true, cells: 3, secondShare: 0.5 }), 'thermal heat');
  });
});
