// Builds elements of the page. Attributes only; no inline style, which the page's content policy forbids.

type Child = Node | string | undefined;

export function element<K extends keyof HTMLElementTagNameMap>(
  name: K,
  attributes: Readonly<Record<string, string | number | boolean | undefined>> = {},
  children: readonly Child[] = [],
): HTMLElementTagNameMap[K] {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    if (value === undefined || value === false) continue;
    made.setAttribute(key, value === true ? '' : String(value));
  }
  made.append(...children.filter((child) => child !== undefined));
  return made;
}

/** A panel of the page: a region with its heading. */
export function panel(name: string, title: string): { section: HTMLElement; heading: HTMLElement; bar: HTMLElement } {
  const id = `${name}-title`;
  const heading = element('h2', { id }, [title]);
  const bar = element('div', { class: 'bar' });
  const head = element('div', { class: 'panel-head' }, [heading, bar]);
  const section = element('section', { class: `panel ${name}`, 'aria-labelledby': id }, [head]);
  return { section, heading, bar };
}
