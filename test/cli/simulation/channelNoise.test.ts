// Noise of several colours keeps its size whatever the rate, and has the memory it is said to have.
import assert from 'node:assert/strict';
import { ChannelNoise, noiseSize } from '../../../src/cli/simulation/channelNoise.ts';
import { RandomStream } from '../../../src/cli/simulation/random.ts';
import type { NoiseScenario } from '../../../src/cli/simulation/scenario.ts';
import { near } from '../../support/near.ts';

const silent: NoiseScenario = { white: 0, tailDegrees: 0, slow: 0, slowTimeS: 40, pink: 0, common: 0 };

function series(noise: NoiseScenario, dtS: number, samples: number): Float64Array {
  const source = new ChannelNoise(noise, dtS, new RandomStream(9, 'noise'));
  return Float64Array.from({ length: samples }, () => source.next());
}

function covariance(values: Float64Array, lag: number): number {
  let sum = 0;
  for (let i = lag; i < values.length; i++) sum += values[i]! * values[i - lag]!;
  return sum / (values.length - lag);
}

describe('channel noise', () => {
  it('has the asked variance at every rate and in every colour', () => {
    for (const dtS of [0.01, 1, 10]) {
      near(covariance(series({ ...silent, white: 2 }, dtS, 40000), 0), 4, 0.2, `white at ${dtS} s`);
      near(
        covariance(series({ ...silent, white: 2, tailDegrees: 5 }, dtS, 40000), 0),
        4,
        0.5,
        `heavy tails at ${dtS} s`,
      );
    }
    // Slow colours need long series: 400 000 samples of 1 s are 10 000 of their times.
    near(covariance(series({ ...silent, slow: 3 }, 1, 400000), 0), 9, 0.6, 'slow');
    near(covariance(series({ ...silent, pink: 1 }, 1, 400000), 0), 1, 0.25, 'pink');
  });

  it('forgets slow noise by exp(-lag / time), as a first-order process must', () => {
    const values = series({ ...silent, slow: 1, slowTimeS: 20 }, 1, 400000);
    for (const lag of [5, 20, 60]) near(covariance(values, lag), Math.exp(-lag / 20), 0.04, `lag ${lag}`);
  });

  it('white noise has no memory', () => {
    const values = series({ ...silent, white: 1 }, 1, 100000);
    near(covariance(values, 1), 0, 4 / Math.sqrt(100000), 'lag 1');
  });

  it('the means of pink noise over longer and longer times fall slowly, not as those of white noise', () => {
    // Variance of means over m samples: 1/m for white noise; for 1/f about level, falling with the logarithm only.
    const meanVariance = (noise: NoiseScenario, length: number): number => {
      const values = series(noise, 1, 262144);
      const means = Float64Array.from({ length: values.length / length }, (_, i) => {
        let sum = 0;
        for (let k = 0; k < length; k++) sum += values[i * length + k]!;
        return sum / length;
      });
      return covariance(means, 0);
    };
    const white = meanVariance({ ...silent, white: 1 }, 64) / meanVariance({ ...silent, white: 1 }, 4);
    const pink = meanVariance({ ...silent, pink: 1 }, 64) / meanVariance({ ...silent, pink: 1 }, 4);
    near(white, 1 / 16, 0.01, 'white');
    assert.ok(pink > 0.4 && pink < 0.9, `pink falls to ${pink}`);
  });

  it('sizes add by squares', () => {
    assert.equal(noiseSize({ ...silent, white: 3, slow: 4, pink: 12, common: 84 }), 85);
  });
});
