// Lays one log behind another: maps a time of the second log to the time of the first at which it is drawn.
// By time both logs start together. By layer each layer of the second starts where the same layer of the first does,
// linear in between; beyond the layers they share, time runs on unstretched. Times in seconds.

export interface LayerStart {
  readonly layer: number;
  readonly timeS: number;
}

export interface TimeMap {
  toFirst(timeS: number): number;
  toSecond(timeS: number): number;
}

export function alignByTime(firstStartS: number, secondStartS: number): TimeMap {
  const shift = firstStartS - secondStartS;
  return { toFirst: (timeS) => timeS + shift, toSecond: (timeS) => timeS - shift };
}

/** Undefined where the logs share fewer than two layers. */
export function alignByLayer(first: readonly LayerStart[], second: readonly LayerStart[]): TimeMap | undefined {
  const startOf = new Map(second.map(({ layer, timeS }) => [layer, timeS]));
  const shared = first
    .filter(({ layer }) => startOf.has(layer))
    .map(({ layer, timeS }) => ({ first: timeS, second: startOf.get(layer)! }))
    .filter((pair, i, all) => i === 0 || (pair.first > all[i - 1]!.first && pair.second > all[i - 1]!.second));
  if (shared.length < 2) return undefined;
  const firsts = shared.map((pair) => pair.first);
  const seconds = shared.map((pair) => pair.second);
  return {
    toFirst: (timeS) => piecewise(seconds, firsts, timeS),
    toSecond: (timeS) => piecewise(firsts, seconds, timeS),
  };
}

function piecewise(from: readonly number[], to: readonly number[], at: number): number {
  if (at <= from[0]!) return to[0]! + at - from[0]!;
  const last = from.length - 1;
  if (at >= from[last]!) return to[last]! + at - from[last]!;
  let low = 0;
  let high = last;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (from[middle]! <= at) low = middle;
    else high = middle;
  }
  return to[low]! + ((at - from[low]!) / (from[high]! - from[low]!)) * (to[high]! - to[low]!);
}
