// The bench's baselines against published values: a fair comparison needs right opponents.
import assert from 'node:assert/strict';
import fc from 'fast-check';
import { RandomStream } from '../../src/cli/simulation/random.ts';
import { Cusum, cusumLimit, cusumRunLength } from '../bench/baselines/cusum.ts';
import { Ewma, ewmaRunLength, ewmaWidth } from '../bench/baselines/ewma.ts';
import { FirstDifference, differenceLimit } from '../bench/baselines/firstDifference.ts';
import { pelt, stepSigma } from '../bench/baselines/pelt.ts';
import { near } from '../support/near.ts';

describe('baseline CUSUM', () => {
  // NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.3: data and printed sums; target 325, k 0.3175, h 4.1959.
  const data = [
    324.925, 324.675, 324.725, 324.35, 325.35, 325.225, 324.125, 324.525, 325.225, 324.6, 324.625, 325.15, 328.325,
    327.25, 327.825, 328.5, 326.675, 327.775, 326.875, 328.35,
  ];
  const high = [0, 0, 0, 0, 0.0325, 0, 0, 0, 0, 0, 0, 0, 3.0075, 4.94, 7.4475, 10.63, 11.9875, 14.445, 16.0025, 19.035];
  const low = [0, 0.0075, 0, 0.3325, 0, 0, 0.5575, 0.715, 0.1725, 0.255, 0.3125, 0, 0, 0, 0, 0, 0, 0, 0, 0];

  it('gives the sums of the NIST handbook and signals at group 14, the change beginning at 13', () => {
    const cusum = new Cusum({ target: 325, allowance: 0.3175, limit: 4.1959 });
    let first = 0;
    let began = 0;
    data.forEach((value, i) => {
      const signal = cusum.push(value);
      near(cusum.high, high[i]!, 1e-9, `high sum of group ${i + 1}`);
      near(cusum.low, low[i]!, 1e-9, `low sum of group ${i + 1}`);
      if (signal && first === 0) [first, began] = [i + 1, i + 2 - cusum.sinceZero];
    });
    assert.equal(first, 14);
    assert.equal(began, 13);
  });

  it('has the mean run lengths of Lucas and Crosier (Technometrics 24, 1982, table 1) for k 0.5, h 4', () => {
    // Mean run length by simulation; 3 standard errors of 4000 runs are about 5 % without a shift, less with one.
    for (const [shift, published] of [
      [0, 168],
      [0.5, 26.6],
      [1, 8.38],
      [2, 3.34],
      [4, 1.71],
    ] as const) {
      const runs = 4000;
      const random = new RandomStream(5, `cusum ${shift}`);
      let total = 0;
      for (let run = 0; run < runs; run++) {
        const cusum = new Cusum({ target: 0, allowance: 0.5, limit: 4 });
        do total++;
        while (!cusum.push(shift + random.normal()));
      }
      near(total / runs, published, 0.05 * published, `mean run length at a shift of ${shift}`);
    }
  });

  it("sets limits by Siegmund's formula: h 4 and h 5 for their published run lengths", () => {
    // Lucas and Crosier 1982 (168); Montgomery, Introduction to Statistical Quality Control (465, from memory).
    near(cusumRunLength(0.5, 4), 168, 1.7, 'h 4');
    near(cusumRunLength(0.5, 5), 465, 4.7, 'h 5');
    near(cusumLimit(0.5, 465.4), 5, 0.02, 'limit');
  });

  it('leaves its sums alone on a missing value', () => {
    const cusum = new Cusum({ target: 0, allowance: 0.5, limit: 4 });
    cusum.push(3);
    assert.equal(cusum.push(NaN), false);
    assert.equal(cusum.high, 2.5);
  });
});

describe('baseline EWMA', () => {
  // NIST/SEMATECH e-Handbook 6.3.2.4: target 50, s 2.0539, weight 0.3; printed averages and limits.
  const data = [
    52, 47, 53, 49.3, 50.1, 47, 51, 50.1, 51.2, 50.5, 49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1,
  ];
  const printed = [
    50.6, 49.52, 50.564, 50.185, 50.159, 49.212, 49.748, 49.854, 50.258, 50.33, 50.111, 49.358, 49.52, 50.054, 49.378,
    49.925, 50.727, 51.229, 51.94, 51.988,
  ];

  it('gives the averages and limits of the NIST handbook, and no signal', () => {
    const ewma = new Ewma({ target: 50, sigma: 2.0539, weight: 0.3, width: 3, exactStart: false });
    data.forEach((value, i) => {
      assert.equal(ewma.push(value), false, `sample ${i + 1}`);
      near(ewma.average, printed[i]!, 0.0051, `average ${i + 1}`);
    });
    near(50 + ewma.limit, 52.5884, 1e-4, 'upper limit');
    near(50 - ewma.limit, 47.4115, 2e-4, 'lower limit');
  });

  it('has the mean run lengths of Lucas and Saccucci (Technometrics 32, 1990, table 3)', () => {
    // Printed digits; each row: weight, width, then the lengths at shifts 0, 0.5, 1, 2, 4.
    for (const [weight, width, ...lengths] of [
      [0.5, 3.071, 500, 88.8, 17.5, 3.63, 1.34],
      [0.03, 2.437, 500, 29.3, 12.6, 5.99, 3.11],
    ] as const) {
      [0, 0.5, 1, 2, 4].forEach((shift, i) => {
        const published = lengths[i]!;
        near(ewmaRunLength(weight, width, shift), published, 0.004 * published, `weight ${weight}, shift ${shift}`);
      });
    }
    near(ewmaWidth(0.5, 500), 3.071, 0.001, 'width for 500');
  });

  it('runs as long as its integral equation says', () => {
    const runs = 3000;
    const random = new RandomStream(6, 'ewma');
    let total = 0;
    for (let run = 0; run < runs; run++) {
      const ewma = new Ewma({ target: 0, sigma: 1, weight: 0.1, width: 2.814, exactStart: false });
      do total++;
      while (!ewma.push(1 + random.normal()));
    }
    near(total / runs, 10.33, 0.35, 'mean run length at a shift of 1 (Lucas and Saccucci: 10.3)');
  });
});

describe('baseline first difference', () => {
  it('passes its threshold as often as normal noise should', () => {
    const random = new RandomStream(7, 'difference');
    const alarm = new FirstDifference(differenceLimit(2, 100));
    let alarms = 0;
    const samples = 200000;
    for (let i = 0; i < samples; i++) if (alarm.push(2 * random.normal())) alarms++;
    near(alarms / samples, 0.01, 0.001, 'rate of alarms');
  });

  it('has the three-sigma chart’s run length 370.4 where its limit is three deviations of the step', () => {
    // Shewhart chart, 3 sigma, no shift: 370.4 (Montgomery, Introduction to Statistical Quality Control, from memory).
    near(differenceLimit(1 / Math.SQRT2, 370.398), 3, 1e-4, 'limit');
  });
});

describe('baseline PELT', () => {
  it('is optimal partitioning: the same cost as trying every split', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: -20, max: 20 }), { minLength: 1, maxLength: 40 }),
        fc.double({ min: 0.5, max: 60, noNaN: true }),
        (values, penalty) => {
          near(costOf(values, pelt(values, 1, penalty), penalty), optimum(values, penalty), 1e-6, 'cost');
        },
      ),
    );
  });

  it('splits a toy of three levels where they change', () => {
    // By hand: levels about 0.4, 10.6, 4.4; the residual sum of squares of the split {5, 10} is 3.6.
    const toy = [0, 1, 0, 1, 0, 10, 11, 10, 11, 10, 4, 5, 4, 5, 4];
    assert.deepEqual(pelt(toy, 1, 2 * Math.log(toy.length)), [5, 10]);
    near(costOf(toy, [5, 10], 0), 3.6, 1e-9, 'residual');
  });

  it('finds the one change of the Nile at Aswan, 1898, with either usual penalty', () => {
    // Annual flow 1871 to 1970, as published with R (datasets::Nile; Cobb, Biometrika 65, 1978: change in 1898).
    const sigma = stepSigma(nile);
    near(sigma, 115.319, 0.001, 'deviation from the steps');
    assert.deepEqual(pelt(nile, sigma, 2 * Math.log(100)), [28]);
    assert.deepEqual(pelt(nile, sigma, 3 * Math.log(100)), [28]);
  });
});

function costOf(values: readonly number[], changes: readonly number[], penalty: number): number {
  const edges = [0, ...changes, values.length];
  let cost = penalty * changes.length;
  for (let i = 1; i < edges.length; i++) {
    const part = values.slice(edges[i - 1], edges[i]);
    const mean = part.reduce((sum, value) => sum + value, 0) / part.length;
    cost += part.reduce((sum, value) => sum + (value - mean) ** 2, 0);
  }
  return cost;
}

/** Optimal partitioning without pruning (Jackson et al., IEEE Signal Processing Letters 12, 2005). */
function optimum(values: readonly number[], penalty: number): number {
  const best = [-penalty];
  for (let to = 1; to <= values.length; to++) {
    best[to] = Infinity;
    for (let from = 0; from < to; from++) {
      best[to] = Math.min(best[to]!, best[from]! + costOf(values.slice(from, to), [], 0) + penalty);
    }
  }
  return best[values.length]!;
}

const nile = [
  1120, 1160, 963, 1210, 1160, 1160, 813, 1230, 1370, 1140, 995, 935, 1110, 994, 1020, 960, 1180, 799, 958, 1140, 1100,
  1210, 1150, 1250, 1260, 1220, 1030, 1100, 774, 840, 874, 694, 940, 833, 701, 916, 692, 1020, 1050, 969, 831, 726, 456,
  824, 702, 1120, 1100, 832, 764, 821, 768, 845, 864, 862, 698, 845, 744, 796, 1040, 759, 781, 865, 845, 944, 984, 897,
  822, 1010, 771, 676, 649, 846, 812, 742, 801, 1040, 860, 874, 848, 890, 744, 749, 838, 1050, 918, 986, 797, 923, 975,
  815, 1020, 906, 901, 1170, 912, 746, 919, 718, 714, 740,
];
