// A drawing of core/display as elements of the page.
import { attributeText, type SvgNode } from '../../src/core/display/svg/svg.ts';

export function drawnSvg({ name, attributes, children }: SvgNode): SVGElement {
  const made = document.createElementNS('http://www.w3.org/2000/svg', name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, attributeText(value));
  for (const child of children) made.append(typeof child === 'string' ? child : drawnSvg(child));
  return made;
}
