// Tick places on an axis: steps of 1, 2 or 5 times a power of ten; for time also the steps a clock has, for directions
// those that cut a half turn into equal parts.

const clockStepsS = [1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 10800, 21600, 43200, 86400];

const halfTurnStepsDeg = [1, 2, 5, 10, 15, 30, 45, 90, 180];

/** The smallest 1-2-5 step that cuts `span` into at most `most` pieces. */
export function niceStep(span: number, most: number): number {
  const rough = span / Math.max(1, most);
  if (!(rough > 0) || !Number.isFinite(rough)) return 1;
  const power = 10 ** Math.floor(Math.log10(rough));
  const factor = [1, 2, 5, 10].find((candidate) => candidate * power >= rough * (1 - 1e-9)) ?? 10;
  return factor * power;
}

export function niceTicks(from: number, to: number, most: number): number[] {
  return multiples(from, to, niceStep(to - from, most));
}

export function timeTicks(fromS: number, toS: number, most: number): number[] {
  const span = toS - fromS;
  const rough = span / Math.max(1, most);
  if (rough < 1) return niceTicks(fromS, toS, most);
  const step = clockStepsS.find((candidate) => candidate >= rough) ?? 86400 * niceStep(span / 86400, most);
  return multiples(fromS, toS, step);
}

/** For directions in degrees, whose labels are given modulo 180: they come round at the same places. */
export function directionTicks(fromDeg: number, toDeg: number, most: number): number[] {
  const rough = (toDeg - fromDeg) / Math.max(1, most);
  if (rough < 1) return niceTicks(fromDeg, toDeg, most);
  const step = halfTurnStepsDeg.find((candidate) => candidate >= rough) ?? 180 * Math.ceil(rough / 180);
  return multiples(fromDeg, toDeg, step);
}

function multiples(from: number, to: number, step: number): number[] {
  const first = Math.ceil(from / step - 1e-9);
  const last = Math.floor(to / step + 1e-9);
  // Multiplying avoids the drift of a running sum; the division by 1/step keeps 0.1, 0.2, 0.3 clean.
  const inverse = 1 / step;
  return Array.from({ length: Math.max(0, last - first + 1) }, (_, i) =>
    step < 1 && Number.isInteger(Math.round(inverse)) ? (first + i) / Math.round(inverse) : (first + i) * step,
  );
}
