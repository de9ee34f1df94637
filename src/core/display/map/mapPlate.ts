// What lies under the crosses of the plate map: the plate to scale with axes in millimetres, the parts' outlines, the
// recoater's way, and the fibres. Positions in metres, directions in radians from x towards y.
import type { LogHeader } from '../../header/logHeader.ts';
import { toPage, type PlateFrame } from './mapGeometry.ts';
import { fixed } from '../numberFormat.ts';
import { round, svg, type SvgNode } from '../svg/svg.ts';
import { niceTicks } from '../ticks.ts';
import { millimetres } from '../units.ts';

/** Of a log's header, what the map shows. */
export type MapHeader = Pick<LogHeader, 'plate' | 'parts' | 'cells' | 'channels' | 'recoaterDirectionRad'>;

export function plateAndAxes({ plate }: MapHeader, frame: PlateFrame): SvgNode[] {
  const [widthM, depthM] = plate.sizeM;
  const { scale, unitLabel } = millimetres;
  const [left, top] = toPage(frame, 0, depthM);
  const [right, bottom] = toPage(frame, widthM, 0);
  const most = Math.max(2, Math.min(10, Math.floor((right - left) / 44)));
  const step = niceTicks(0, widthM * scale, most);
  const ticks: SvgNode[] = [];
  for (const mm of step) {
    const [x] = toPage(frame, mm / scale, 0);
    ticks.push(
      svg('path', { class: 'axis', d: `M${round(x)} ${round(bottom)}v4` }),
      svg('text', { class: 'tick', x, y: bottom + 15, 'text-anchor': 'middle' }, [fixed(mm, 0)]),
    );
  }
  for (const mm of niceTicks(0, depthM * scale, most)) {
    const [, y] = toPage(frame, 0, mm / scale);
    ticks.push(
      svg('path', { class: 'axis', d: `M${round(left)} ${round(y)}h-4` }),
      svg('text', { class: 'tick', x: left - 7, y: y + 3.5, 'text-anchor': 'end' }, [fixed(mm, 0)]),
    );
  }
  return [
    svg('rect', { class: 'plate', x: left, y: top, width: right - left, height: bottom - top, rx: 3 }),
    svg('g', { class: 'axes' }, [
      ...ticks,
      svg('text', { class: 'tick', x: right, y: bottom + 28, 'text-anchor': 'end' }, [`x, ${unitLabel}`]),
      svg('text', { class: 'tick', x: left - 33, y: top - 9, 'text-anchor': 'start' }, [`y, ${unitLabel}`]),
    ]),
  ];
}

export function partOutline(part: MapHeader['parts'][number], frame: PlateFrame): SvgNode {
  const corners = part.outlineM.map(([x, y]) => toPage(frame, x, y));
  const d = `M${corners.map(([x, y]) => `${round(x)} ${round(y)}`).join('L')}Z`;
  return svg('g', { class: 'part' }, [svg('title', {}, [part.name]), svg('path', { d })]);
}

/** Over the plate's right corner, where it hides no cell. */
export function recoaterArrow({ recoaterDirectionRad: direction }: MapHeader, frame: PlateFrame): SvgNode | undefined {
  if (!Number.isFinite(direction)) return undefined;
  const [x, y] = toPage(frame, frame.sizeM[0], frame.sizeM[1]);
  const [cx, cy] = [x - 10, y - 11];
  const tip = (s: number, t: number): string =>
    `${round(cx + s * Math.cos(direction) + t * Math.sin(direction))} ${round(cy - s * Math.sin(direction) + t * Math.cos(direction))}`;
  return svg('g', { class: 'recoater' }, [
    svg('title', {}, ['The recoater travels this way']),
    svg('text', { class: 'tick', x: cx - 14, y: cy + 3.5, 'text-anchor': 'end' }, ['recoater']),
    svg('path', {
      d: `M${tip(-9, 0)}L${tip(9, 0)}M${tip(4, -4)}L${tip(9, 0)}L${tip(4, 4)}M${tip(-9, -6)}L${tip(-9, 6)}`,
    }),
  ]);
}

/** Half of a shorter fibre would only blur the cross over it. */
const leastFibrePx = 4;

/** Of the plane at index `plane`; -1: of all. */
export function fibreLayer(header: MapHeader, plane: number, frame: PlateFrame, spacingPx: number): SvgNode {
  const reach = Math.min(9, 0.2 * spacingPx);
  if (reach < leastFibrePx) return svg('path', { class: 'fibres', d: '' });
  const d = header.channels
    .filter((channel) => channel.cell >= 0 && Number.isFinite(channel.directionRad))
    .filter((channel) => plane < 0 || channel.plane === plane)
    .map((channel) => {
      const cell = header.cells[channel.cell]!;
      const [x, y] = toPage(frame, cell.xM, cell.yM);
      const [dx, dy] = [reach * Math.cos(channel.directionRad), -reach * Math.sin(channel.directionRad)];
      return `M${round(x - dx)} ${round(y - dy)}L${round(x + dx)} ${round(y + dy)}`;
    });
  return svg('path', { class: 'fibres', d: d.join('') });
}
