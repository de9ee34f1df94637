// What a row says of the plate, in words: the tensor's principal strains and direction of a cell, for hovers.
import * as vscode from 'vscode';
import type { Channel, LogHeader } from '../core/header/logHeader.ts';
import { plainMarkdown } from '../core/display/text/markdownText.ts';
import { axisText, clock, fixed } from '../core/display/numberFormat.ts';
import { sickText } from '../core/display/text/sickText.ts';
import { measureIn, megapascal, microstrain } from '../core/display/units.ts';
import type { PlateState, RosetteState } from '../messages/analysis.ts';

/** More cells than these are left to the view. */
const mostRosettes = 12;

/** `cell`: the cell to speak of, -1 for all. */
export function plateText(header: LogHeader, state: PlateState, cell: number): vscode.MarkdownString {
  const text = new vscode.MarkdownString();
  const layer = state.layer >= 0 ? `, layer ${state.layer}` : '';
  text.appendMarkdown(`**${clock(state.timeS, 1)}**${layer}\n\n`);
  const wanted = state.rosettes.filter((rosette) => cell < 0 || rosette.cell === cell);
  if (wanted.length === 0) return text.appendMarkdown('No cell here has three independent directions, so no tensor.');
  text.appendMarkdown(
    '| cell | larger principal | smaller principal | direction | von Mises |\n|:--|--:|--:|--:|--:|\n',
  );
  for (const rosette of wanted.slice(0, mostRosettes)) text.appendMarkdown(rosetteRow(header, rosette));
  for (const rosette of wanted.slice(0, mostRosettes).filter(({ sick }) => sick.length > 0)) {
    text.appendMarkdown(`\n${plainMarkdown(`${rosetteName(header, rosette)} ${sickText(rosette.sick)}`)}\n`);
  }
  if (wanted.length > mostRosettes) {
    text.appendMarkdown(`\n${wanted.length - mostRosettes} more in the plate view.`);
  }
  return text;
}

function rosetteName(header: LogHeader, { cell, plane }: RosetteState): string {
  return [header.cells[cell]?.name ?? '', header.planes[plane]?.name ?? ''].filter((part) => part !== '').join(' ');
}

function rosetteRow(header: LogHeader, rosette: RosetteState): string {
  const columns = [
    plainMarkdown(rosetteName(header, rosette)),
    measureIn(microstrain, rosette.e1),
    measureIn(microstrain, rosette.e2),
    axisText(rosette.dirDeg, rosette.dirErrorDeg),
    measureIn(megapascal, rosette.vonMises),
  ];
  return `| ${columns.join(' | ')} |\n`;
}

/** What the column under the pointer measures, in Markdown. */
export function channelText(header: LogHeader, channel: Channel): string {
  const cell = header.cells[channel.cell]?.name;
  const plane = header.planes[channel.plane]?.name;
  const where =
    cell === undefined
      ? 'the whole plate'
      : `cell ${plainMarkdown(cell)}${plane ? `, plane ${plainMarkdown(plane)}` : ''}`;
  const direction = Number.isNaN(channel.directionRad)
    ? ''
    : `, along ${fixed((channel.directionRad * 180) / Math.PI, 0)}°`;
  return `**${plainMarkdown(channel.name)}**: ${channel.kind} of ${where}${direction}`;
}
