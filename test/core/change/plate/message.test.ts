import assert from 'node:assert/strict';
import {
  changeEvidence,
  changeMessage,
  sensorMessage,
  strainText,
  type ChangeFacts,
} from '../../../../src/core/change/plate/message.ts';
import type { SensorFinding } from '../../../../src/core/change/findings.ts';
import type { LogHeader } from '../../../../src/core/header/logHeader.ts';
import { changeFinding, rosetteChange } from '../../../support/changeFinding.ts';

const header = {
  cells: [{ name: 'A1' }],
  columns: ['s', 'deg_C', 'nm', 'nm', 'nm'].map((unit) => ({ unit })),
  channels: ['A1_T', 'A1_0', 'A1_45', 'A1_90'].map((name, i) => ({
    ...{ name, kind: i === 0 ? 'temperature' : 'bragg' },
    column: i + 1,
  })),
} as unknown as LogHeader;

const open: SensorFinding = {
  ...{ what: 'dropout', cell: 0, knownRow: 2, knownTimeS: 2, row: 0, line: 30, timeS: 0, layer: NaN },
  ...{ channels: [1], endRow: -1, endTimeS: NaN, samples: 3, size: 0, sigmas: 0 },
};

describe('what is told of a sensor', () => {
  it('counts rows up to when it was noticed while it lasts, and all of them once it is over', () => {
    assert.equal(sensorMessage(header, open), 'Readings missing in A1_0: 3 rows when it was noticed, and ever since');
    const over = { ...open, endRow: 40, endTimeS: 40, samples: 40 };
    assert.match(sensorMessage(header, over), /^Readings missing in A1_0: 40 rows until 40 s later$/);
  });

  it('names the reading at which one channel stands, not one for several', () => {
    const stuck: SensorFinding = { ...open, what: 'stuck', samples: 81, size: 74.02 };
    const cold = sensorMessage(header, { ...stuck, channels: [0], size: -3.5 });
    assert.match(cold, /^Reading stuck at −3\.5 °C in A1_T /);
    assert.match(
      sensorMessage(header, stuck),
      /^Reading stuck at 74\.02 nm in A1_0 since the log began: 81 equal readings/,
    );
    const several = sensorMessage(header, { ...stuck, channels: [0, 1, 2, 3] });
    assert.match(several, /^Readings stuck in 4 channels of A1 since the log began: 81 equal readings in a row when/);
  });

  it('says what a thermometer out of order means for the strain, and of a fibre nothing of the kind', () => {
    const stuck: SensorFinding = { ...open, what: 'stuck', channels: [0], samples: 81, size: 74.02 };
    assert.match(
      sensorMessage(header, stuck),
      /; strain that is reckoned by it does not follow the temperature until it reads again$/,
    );
    const over = { ...open, channels: [0], endRow: 40, endTimeS: 40 };
    assert.match(sensorMessage(header, over), /; strain that is reckoned by it is missing in that time$/);
    for (const what of ['stuck', 'dropout'] as const) {
      assert.doesNotMatch(sensorMessage(header, { ...open, what }), /reckoned/);
    }
  });
});

describe('what is told of a change', () => {
  const facts: ChangeFacts = {
    header: { ...header, cells: [{ name: '-1' }], plate: { sizeM: [0.1, 0.1] } } as unknown as LogHeader,
    verdict: { kind: 'crack', nature: 'mechanical', sure: true, natureSure: true },
    strongest: { ...changeFinding(600), temperatureK: -0.35 },
    ...{ size: -41.2e-6, rosette: { ...rosetteChange(0, 0, 0), turnDeg: -20.8, turnErrorDeg: 1.2 } },
    ...{
      cells: [0],
      plateCells: 4,
      together: 1,
      shared: false,
      early: false,
      again: false,
      astray: false,
      drifting: false,
      part: undefined,
      lone: undefined,
    },
    origin: { xM: -0.004, yM: 0.03, spreadM: 0.01 } as unknown as ChangeFacts['origin'],
    ...{ soloEvidence: -6, endTimeS: NaN, layer: 44 },
  };

  it('has the units and the minus of the view, and names as the header has them', () => {
    assert.equal(changeMessage(facts), 'Crack at x −4, y 30 mm at layer 44: −41 µm/m at -1, direction turned 21°');
    const told = changeEvidence(facts).map(({ text }) => text);
    assert.ok(told.includes('Change of strain at -1, the clearest cell: −41 µm/m along its strongest direction.'));
    assert.ok(told.includes('Principal direction at -1 turned by −20.8° (standard error 1.2°).'));
    assert.ok(told.includes('Temperature changed by −0.35 K over the same samples.'));
  });

  it('never has a minus before nothing', () => {
    assert.deepEqual([-4e-9, -4.24e-6, -41.2e-6, 0].map(strainText), ['0.0 µm/m', '−4.2 µm/m', '−41 µm/m', '0.0 µm/m']);
  });
});
