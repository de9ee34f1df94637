// Parts of the page that are built anew while someone stands in them by keyboard, and lists of controls that take one stop of
// the Tab key.

/** Gives `host` other contents; who stands on a control in it stands on the one of the same name then. */
export function replaceKeepingFocus(host: HTMLElement, ...contents: readonly Node[]): void {
  const stood = document.activeElement;
  const at = stood && host.contains(stood) ? alike(host, stood).indexOf(stood) : -1;
  host.replaceChildren(...contents);
  if (!stood || at < 0) return;
  const next = alike(host, stood)[at];
  if (next instanceof HTMLElement) next.focus({ preventScroll: true });
}

/** Controls in `host` that are called as `one` is. */
function alike(host: HTMLElement, one: Element): Element[] {
  return [...host.querySelectorAll(one.tagName)].filter((other) => nameOf(other) === nameOf(one));
}

function nameOf(one: Element): string {
  return one.getAttribute('aria-label') ?? one.textContent ?? '';
}

/** Makes `controls` in `host` one stop of the Tab key, first at `current`; arrow keys, Home and End go from one to the next. */
export function oneStop(host: HTMLElement, controls: readonly HTMLElement[], current = 0): void {
  const stopAt = (stop: number): void => controls.forEach((one, i) => (one.tabIndex = i === stop ? 0 : -1));
  stopAt(Math.max(0, current));
  host.addEventListener('focusin', ({ target }) => {
    const at = controls.findIndex((one) => one === target);
    if (at >= 0) stopAt(at);
  });
  host.addEventListener('keydown', (event) => {
    const at = controls.findIndex((one) => one === document.activeElement);
    const last = controls.length - 1;
    const forth = Math.min(last, at + 1);
    const back = Math.max(0, at - 1);
    const ways = { ArrowDown: forth, ArrowRight: forth, ArrowUp: back, ArrowLeft: back, Home: 0, End: last };
    const next = Object.entries(ways).find(([key]) => key === event.key)?.[1];
    if (at < 0 || next === undefined) return;
    event.preventDefault();
    controls[next]!.focus();
  });
}
