import assert from 'node:assert/strict';
import { microstrain, sensorMessage } from '../../../src/core/change/message.ts';
import type { SensorFinding } from '../../../src/core/change/findings.ts';
import type { LogHeader } from '../../../src/core/header/logHeader.ts';

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

describe('what is told in microstrain', () => {
  it('never has a minus before nothing', () => {
    assert.deepEqual(
      [microstrain(-4e-9), microstrain(-4.24e-6), microstrain(-41.2e-6), microstrain(0)],
      ['0.0 microstrain', '-4.2 microstrain', '-41 microstrain', '0.0 microstrain'],
    );
  });
});
