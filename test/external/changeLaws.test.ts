// The parts of change detection that have published answers: limits of Hotelling's T-square, the law the learned tail
// starts from, and the place of a known break.
import assert from 'node:assert/strict';
import { quietPlate, watch } from '../support/quietPlate.ts';
import { logChiSquareTail, logFTail } from '../../src/core/change/noise/laws.ts';
import { newTail, countLook, countPassage, lowSurprise, restated } from '../../src/core/change/noise/tail.ts';
import { pooledSurprise } from '../../src/core/change/plate/pooling.ts';
import { RandomStream } from '../../src/cli/simulation/random.ts';
import { near } from '../support/near.ts';

describe('published limits', () => {
  // Phase II limits of T-square for individual observations, p(m+1)(m-1)/(m^2-mp) F: Montgomery, Introduction to
  // Statistical Quality Control, multivariate charts (formula from memory); values recomputed with an F library.
  for (const [p, m, alpha, limit] of [
    [3, 50, 0.0027, 17.36],
    [2, 30, 0.01, 11.6719],
    [3, 200, 0.001, 17.1695],
  ] as const) {
    it(`T-square of ${p} components after ${m} observations passes ${limit} with probability ${alpha}`, () => {
      const f = (limit * (m * m - m * p)) / (p * (m + 1) * (m - 1));
      near(Math.exp(logFTail(f, p, m - p)), alpha, 1e-4 * alpha + 1e-7, 'probability');
    });
  }

  it('knows the covariance for many observations: chi-square 14.1563 for 3 components at 0.0027', () => {
    near(Math.exp(logChiSquareTail(14.1563, 3)), 0.0027, 1e-7, 'probability');
  });

  it("pools by Fisher's method (Statistical Methods for Research Workers, 1925): three times 5 % is 0.63 %", () => {
    const each = -Math.log(0.05);
    // Chi-square 17.97 with 6 degrees of freedom.
    near(Math.exp(-pooledSurprise([each, each, each], 1, 3)), 0.00632, 5e-5, 'probability');
  });
});

describe('learned tail', () => {
  it('leaves the exponential law alone and tames a tail twice as long', () => {
    const random = new RandomStream(3, 'tail');
    for (const [stretch, within] of [
      [1, 1.5],
      [2, 2],
    ] as const) {
      const tail = newTail();
      for (let i = 0; i < 40_000; i++) {
        countLook(tail);
        const surprise = -Math.log(1 - random.uniform()) * stretch;
        if (surprise > lowSurprise) countPassage(tail, surprise);
      }
      // One in a million of this noise lies at 13.8 stretches, and must be restated as 13.8.
      near(restated(tail, 13.8155 * stretch), 13.8155, within, `stretch ${stretch}`);
    }
  });
});

describe('Nile', () => {
  // Volume of the Nile at Aswan 1871 to 1970, R datasets; the break after 1898 is the textbook's (Cobb 1978; Zeileis et
  // al. 2003 date it at 1898 as the last year of the old regime).
  const nile = [
    1120, 1160, 963, 1210, 1160, 1160, 813, 1230, 1370, 1140, 995, 935, 1110, 994, 1020, 960, 1180, 799, 958, 1140,
    1100, 1210, 1150, 1250, 1260, 1220, 1030, 1100, 774, 840, 874, 694, 940, 833, 701, 916, 692, 1020, 1050, 969, 831,
    726, 456, 824, 702, 1120, 1100, 832, 764, 821, 768, 845, 864, 862, 698, 845, 744, 796, 1040, 759, 781, 865, 845,
    944, 984, 897, 822, 1010, 771, 676, 649, 846, 812, 742, 801, 1040, 860, 874, 848, 890, 744, 749, 838, 1050, 918,
    986, 797, 923, 975, 815, 1020, 906, 901, 1170, 912, 746, 919, 718, 714, 740,
  ];

  it('begins its new regime with 1899 for the live watch too', () => {
    // One cell of one fibre, a year a second, a budget of half an hour; 60 s of the record's own first noise as a run-in.
    const runIn = 60;
    const plate = quietPlate({
      columns: 1,
      rows: 1,
      directionsDeg: [0],
      samples: runIn + nile.length,
      header: { detection: { falseAlarmHours: 0.5, smallestJump: 0, mute: [] }, datum: { fromS: 0, toS: 59 } },
      reading: (value, _cell, _fibre, row) => (row < runIn ? 1098 + 130 * value : nile[row - runIn]!),
    });
    const suspected = watch(plate).findings.filter((f) => f.what === 'change');
    assert.ok(suspected.length > 0, 'the break is seen');
    const strongest = suspected.reduce((a, b) =>
      b.what === 'change' && a.what === 'change' && b.surprise > a.surprise ? b : a,
    );
    near(strongest.row - runIn, 28, 1, 'years before the break');
  });
});
