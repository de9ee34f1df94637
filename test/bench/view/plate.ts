// The plate that every contender draws: cells in a square, three channels each, rows of a seeded random walk with steps.
// Held as Float32Array, the smallest form in which all contenders can be fed.

export interface PlateRows {
  readonly rows: number;
  readonly timeS: Float64Array;
  /** Cell after cell, its channels in a row. */
  readonly channels: readonly Float32Array[];
}

export const cells = 64;
export const channelsPerCell = 3;
export const plotWidthPx = 150;
export const plotHeightPx = 80;

export function makePlate(rows: number): PlateRows {
  let seed = 20260302;
  const random = (): number => {
    seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
    return seed / 2 ** 32;
  };
  const channels = Array.from({ length: cells * channelsPerCell }, () => {
    const column = new Float32Array(rows);
    let level = 0;
    for (let row = 0; row < rows; row++) {
      level += random() - 0.5;
      if (row % 100_000 === 77_000) level += 40;
      column[row] = level;
    }
    return column;
  });
  return { rows, timeS: Float64Array.from({ length: rows }, (_, row) => row / 10), channels };
}

/** What a page offers to be measured. */
export interface Contender {
  /** Everything that is done once, before anything is drawn; answers with what it took, in ms. */
  prepare(rows: number): Promise<number>;
  /** Draws all plots for the first time, then again for each window. */
  draw(fromS: number, toS: number): Promise<void>;
}

declare global {
  interface Window {
    contender: Contender;
    /** Milliseconds from asking to the frame after the one that shows it. */
    timeDraw(fromS: number, toS: number): Promise<number>;
  }
}

export function offer(contender: Contender): void {
  window.contender = contender;
  window.timeDraw = async (fromS, toS) => {
    const start = performance.now();
    await contender.draw(fromS, toS);
    await new Promise((resolve) => requestAnimationFrame(() => setTimeout(resolve, 0)));
    return performance.now() - start;
  };
}

/** One host element per cell, in a grid. */
export function hosts(): HTMLElement[] {
  return Array.from({ length: cells }, () => {
    const host = document.createElement('div');
    host.className = 'host';
    document.body.append(host);
    return host;
  });
}
