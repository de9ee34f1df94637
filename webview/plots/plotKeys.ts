// The plots by keyboard: arrows move the cursor (with Shift the window), plus and minus zoom about it, Enter goes to the
// line, Escape shows the whole build.
import type { App } from '../app.ts';

/** Makes `stack` take the focus and the keys. `times`: the drawn points' times, to step from point to point. */
export function plotKeys(app: App, stack: HTMLElement, times: () => Float64Array | undefined): void {
  stack.tabIndex = 0;
  stack.setAttribute('role', 'application');
  stack.setAttribute('aria-roledescription', 'time plots');
  stack.setAttribute(
    'aria-label',
    'Time plots. Arrow keys move the cursor, Shift and arrows move the window, plus and minus zoom, Enter goes to the line, Escape shows the whole build.',
  );
  stack.addEventListener('keydown', (event) => {
    if (event.altKey || event.ctrlKey || event.metaKey) return;
    if (act(app, event.key, event.shiftKey, times())) event.preventDefault();
  });
}

function act(app: App, key: string, shift: boolean, times: Float64Array | undefined): boolean {
  const { fromS, toS } = app.window;
  const span = toS - fromS;
  const cursorS = Number.isNaN(app.choices.now.cursorS) ? fromS : app.choices.now.cursorS;
  const moveWithin = (from: number, until: number, to: number): void =>
    app.choices.set({ cursorS: Math.max(from, Math.min(until, to)), hoverS: NaN });
  const move = (to: number): void => moveWithin(fromS, toS, to);
  /** The cursor goes along where the window would leave it behind. */
  const pan = (byS: number): void => {
    app.pan(byS);
    moveWithin(app.window.fromS, app.window.toS, cursorS);
  };
  const zoom = (factor: number): void =>
    app.zoom(cursorS - (cursorS - fromS) * factor, cursorS + (toS - cursorS) * factor);
  switch (key) {
    case 'ArrowLeft':
    case 'ArrowRight': {
      const way = key === 'ArrowLeft' ? -1 : 1;
      if (shift) pan(way * span * 0.2);
      else move(nextPoint(times, cursorS, way, span));
      return true;
    }
    case 'Home':
      move(fromS);
      return true;
    case 'End':
      move(toS);
      return true;
    case '+':
    case '=':
      zoom(0.6);
      return true;
    case '-':
      zoom(1 / 0.6);
      return true;
    case 'Enter':
      void app.revealTime(cursorS, false);
      return true;
    case 'Escape':
      app.choices.set({ fromS: NaN, toS: NaN });
      return true;
    default:
      return false;
  }
}

/** The next drawn point at least a two-hundredth of the window away where points are dense, else the next point. */
function nextPoint(times: Float64Array | undefined, fromS: number, way: 1 | -1, spanS: number): number {
  const least = times && times.length < 200 ? 1e-9 : spanS / 200;
  const target = fromS + way * least;
  if (!times || times.length === 0) return target;
  if (way > 0) return times.find((time) => time >= target) ?? target;
  return times.findLast((time) => time <= target) ?? target;
}
