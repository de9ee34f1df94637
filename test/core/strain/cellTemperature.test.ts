import assert from 'node:assert/strict';
import { CellPlate, plateQuantities } from '../../../src/core/strain/cellPlate.ts';
import { CellStrain } from '../../../src/core/strain/cellStrain.ts';
import { glassExpansionPerK } from '../../../src/core/strain/channelStrain.ts';
import { cellLayouts } from '../../../src/core/strain/layout.ts';
import { plainContext } from '../../support/oneRow.ts';
import { header, rowBlock } from '../../support/strainLog.ts';
import type { ChannelSketch } from '../../support/strainLog.ts';
import { contextAt300K, convert, reading, thermometer } from './cellSketch.ts';

describe('the temperature of a cell', () => {
  it('takes the temperature from a loose reference fibre, which feels no strain', () => {
    const log = header({
      channels: [
        { name: 'ref', kind: 'bragg', strainFree: true, plane: -1 },
        ...[0, 60, 120].map((directionDeg) => ({ name: `c${directionDeg}`, kind: 'bragg' as const, directionDeg })),
      ],
    });
    const kelvin = 25;
    const context = { ...plainContext(log), temperatureZeroK: [0, NaN, NaN, NaN] };
    // The loose glass expands by its own coefficient, the bonded ones with the plate.
    const readings = [
      reading(log, 0, glassExpansionPerK * kelvin, kelvin),
      ...[1, 2, 3].map((c) => reading(log, c, 23.6e-6 * kelvin, kelvin)),
    ];
    const { ex, gxy } = convert(log, context, [[0, 0, ...readings]]);
    assert.ok(Math.abs(ex[0]!) < 1e-12, String(ex[0]));
    assert.ok(Math.abs(gxy[0]!) < 1e-12, String(gxy[0]));
  });

  it('falls back on the plate where its own temperature gave nothing in the datum window', () => {
    const log = header({
      channels: [
        { ...thermometer, name: 'own' },
        { ...thermometer, name: 'plate', cell: -1 },
        { name: 'c', kind: 'strain', directionDeg: 0, compensated: false },
      ],
    });
    const context = { ...plainContext(log), temperatureZeroK: [NaN, 300, NaN] };
    const strain = new CellStrain(log, cellLayouts(log)[0]!, context, 1);
    assert.equal(log.channels[strain.temperatureChannel]!.name, 'plate');
    const block = strain.convert(rowBlock([[0, 0, NaN, 310 - 273.15, 236]]));
    assert.ok(Math.abs(block.rosettes[0]!.strain[0]![0]!) < 1e-12);
  });

  it('takes its own thermometer before that of another plane, whichever column comes first', () => {
    const up: ChannelSketch = { name: 'Tup', kind: 'temperature', plane: 1 };
    const cell: ChannelSketch = { name: 'Tcell', kind: 'temperature' };
    const fibres = [0, 1].map((plane): ChannelSketch => ({
      name: `c${plane}`,
      kind: 'strain',
      directionDeg: 0,
      compensated: false,
      plane,
    }));
    // Free, and warmer by 10 K in the cell, by 20 K at the upper plane.
    for (const [thermometers, kelvin] of [
      [
        [up, cell],
        [20, 10],
      ],
      [
        [cell, up],
        [10, 20],
      ],
    ] as const) {
      const log = header({
        planes: [
          { name: 'low', heightM: -0.008 },
          { name: 'up', heightM: 0.008 },
        ],
        channels: [...thermometers, ...fibres],
      });
      const strain = new CellStrain(log, cellLayouts(log)[0]!, contextAt300K(log), 1);
      const block = strain.convert(rowBlock([[0, 0, ...kelvin.map((k) => 300 + k - 273.15), 236, 472]]));
      for (const { strain: along } of block.rosettes) assert.ok(Math.abs(along[0]![0]!) < 1e-12, String(along[0]));
      assert.ok(Math.abs(block.temperatureChange[0]! - 10) < 1e-9);
    }
  });

  it('without any temperature leaves readings uncorrected and says that the change is unknown', () => {
    const log = header({ channels: [{ name: 'c', kind: 'strain', directionDeg: 0, compensated: false }] });
    const block = new CellStrain(log, cellLayouts(log)[0]!, plainContext(log), 1).convert(rowBlock([[0, 0, 236]]));
    assert.ok(Math.abs(block.rosettes[0]!.strain[0]![0]! - 236e-6) < 1e-15);
    assert.ok(Number.isNaN(block.temperatureChange[0]!));
  });

  it('has no strain in a row whose temperature is missing, rather than a wrong one', () => {
    const log = header({
      channels: [thermometer, { name: 'c', kind: 'strain', directionDeg: 0, compensated: false }],
    });
    const block = convert(log, contextAt300K(log), [[0, 0, NaN, 236]]);
    assert.ok(Number.isNaN(block.strain[0]![0]!));
  });

  it('bends without moment when free and warmer on top, if each plane has its own temperature', () => {
    const plane = (index: number): ChannelSketch[] => [
      { name: `T${index}`, kind: 'temperature', plane: index },
      ...[0, 45, 90].map((directionDeg): ChannelSketch => ({
        name: `p${index}_${directionDeg}`,
        kind: 'bragg',
        directionDeg,
        plane: index,
      })),
    ];
    const heights = [-0.008, 0.008];
    const log = header({
      planes: heights.map((heightM, i) => ({ name: `p${i}`, heightM })),
      channels: [...plane(0), ...plane(1)],
    });
    const context = contextAt300K(log);
    const readings = log.channels.map((channel, i) => {
      const kelvin = 20 + 40 * (heights[channel.plane]! / 0.025);
      return channel.kind === 'temperature' ? 300 + kelvin - 273.15 : reading(log, i, 23.6e-6 * kelvin, kelvin);
    });
    const layout = cellLayouts(log)[0]!;
    const strain = new CellStrain(log, layout, context, 1);
    const block = strain.convert(rowBlock([[0, 0, ...readings]]));
    const plate = new CellPlate(log, layout, strain);
    const bent = plate.at(block, 0)!;
    // One microstrain between the planes would be 6 N m/m.
    for (const suffix of ['mx', 'my', 'mxy'])
      assert.ok(Math.abs(plateQuantities[suffix]!(bent, plate, block, 0)) < 1e-5);
    assert.equal(strain.sharedTemperature, false);
  });
});
