// A sign for each nature of event, told apart by form; severity gives its colour. Used in the list and on the timeline.
import { svg, type SvgNode } from '../../src/core/display/svg/svg.ts';
import type { StrainEvent } from '../logTypes.ts';

const forms = {
  // A broken diamond, a flame-like triangle, a square: nothing here is told by colour alone.
  mechanical: 'M0 -6L6 0L0 6L-6 0Z',
  thermal: 'M0 -6L6 5L-6 5Z',
  sensor: 'M-5 -5H5V5H-5Z',
} as const;

export function eventSign(event: StrainEvent, x: number, y: number): SvgNode {
  return svg('path', {
    class: `event-sign ${event.severity}${event.sure ? '' : ' unsure'}`,
    d: forms[event.nature],
    transform: `translate(${Math.round(x * 10) / 10} ${Math.round(y * 10) / 10})`,
  });
}

export const severityWords = {
  error: 'lasting',
  warning: 'brief or unsure',
  information: 'for information',
} as const;
