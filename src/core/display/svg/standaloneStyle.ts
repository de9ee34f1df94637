// The stylesheet of drawings that leave the editor (report, exported SVG and PNG): the same classes that the page colours
// from the editor's theme get fixed colours here, chosen for contrast on white or on near-black.
import { divergingColour, type Ground } from '../colours.ts';
import { svg, type SvgNode } from './svg.ts';

interface Inks {
  readonly paper: string;
  readonly plate: string;
  readonly ink: string;
  readonly soft: string;
  readonly faint: string;
  readonly error: string;
  readonly warning: string;
  readonly information: string;
}

const inks: Readonly<Record<Ground, Inks>> = {
  light: {
    paper: '#ffffff',
    plate: '#f4f5f6',
    ink: '#1f2328',
    soft: '#59636e',
    faint: '#c9ced4',
    error: '#b3261e',
    warning: '#8a5a00',
    information: '#2a6099',
  },
  dark: {
    paper: '#1b1d20',
    plate: '#24272b',
    ink: '#e4e7ea',
    soft: '#a6adb5',
    faint: '#4a5058',
    error: '#ff8a80',
    warning: '#f2c261',
    information: '#8ab8e6',
  },
};

/** CSS text for the classes of `plateMap` and `timePlot`. */
export function standaloneStyle(ground: Ground): string {
  const { paper, plate, ink, soft, faint, error, warning, information } = inks[ground];
  const tension = divergingColour(1, ground);
  const compression = divergingColour(-1, ground);
  return [
    `text{font:11px system-ui,sans-serif;fill:${soft}}.plot-title,.cell-name{fill:${ink};font-weight:600}`,
    `.names text{paint-order:stroke;stroke:${plate};stroke-width:3px;stroke-linejoin:round}`,
    `.part-name{font-style:italic}.legend-text,.part-name{fill:${soft}}.plate{fill:${plate};stroke:${soft}}.axis{stroke:${soft};fill:none}`,
    `.grid{stroke:${faint};fill:none;stroke-width:.6}.layer{stroke:${soft};stroke-width:.7}.mark{stroke:${ink}}`,
    `.part path{fill:none;stroke:${soft};stroke-dasharray:5 3}.fibres{stroke:${faint};fill:none}`,
    `.recoater path{fill:none;stroke:${soft}}.cell-area{fill:none}.centre{fill:${ink}}.no-value{fill:none;stroke:${soft}}`,
    `.concerned .cell-area{stroke:${error};stroke-dasharray:2 2}.chosen .cell-area{stroke:${ink};stroke-width:1.5}`,
    `.shaft.tension{stroke:${tension};stroke-width:2.4;fill:none}.heads.tension{fill:${tension}}`,
    `.shaft.compression{stroke:${compression};fill:${plate}}.heads.compression{stroke:${compression};fill:none;stroke-width:1.4}`,
    `.no-direction{fill:none;stroke-dasharray:3 2}.no-direction.tension{stroke:${tension}}`,
    `.no-direction.compression{stroke:${compression}}.error-wedge{fill:${soft};fill-opacity:.25}`,
    `.origin path{stroke:${error};stroke-width:1.6;fill:none}.origin .spread{stroke-width:1;stroke-dasharray:4 3}`,
    `.surface{opacity:.62}.surface path{stroke-width:.6}.event rect{fill-opacity:.22}.event.at-edge rect{fill-opacity:1}.event.error rect{fill:${error}}`,
    `.event.warning rect{fill:${warning}}.event.information rect{fill:${information}}`,
    `.event-name{font-weight:600;fill:${ink};paint-order:stroke;stroke:${paper};stroke-width:3px;stroke-linejoin:round}`,
  ].join('');
}

/** A drawing that stands on its own: its stylesheet and a ground of its own inside. */
export function standalone(drawing: SvgNode, ground: Ground): SvgNode {
  return {
    ...drawing,
    children: [
      svg('style', {}, [standaloneStyle(ground)]),
      svg('rect', { width: '100%', height: '100%', fill: inks[ground].paper }),
      ...drawing.children,
    ],
  };
}
