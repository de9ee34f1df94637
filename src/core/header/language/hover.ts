// What is said of a place in the header: the field's meaning, unit, default and the value it was resolved to, in SI.
// Markdown out. Over the row of names: what the column is.
import { plainMarkdown } from '../../display/text/markdownText.ts';
import { gigapascal, megapascal } from '../../display/units.ts';
import type { TextRange } from '../../problem.ts';
import type { Channel, LogHeader } from '../logHeader.ts';
import { findMaterial } from '../schema/materials.ts';
import { namesOfRow } from '../fileHead/namesRow.ts';
import type { HeaderSource, ParsedHeader } from '../parseHeader.ts';
import { dimensions, readQuantity } from '../units/quantity.ts';
import type { Dimension } from '../units/quantity.ts';
import { dimensionAt, notesOf, schemaAt, valueAt } from '../schema/schemaWalk.ts';
import { lineText, offsetAt, rangeBetween } from '../yaml/sourceText.ts';
import { yamlContext } from '../yaml/yamlContext.ts';
import type { Path } from '../yaml/yamlPlaces.ts';

export interface HeaderHover {
  readonly range: TextRange;
  readonly markdown: string;
}

/** Line and column count from 1; undefined where there is nothing to say. */
export function hoverAt(parsed: ParsedHeader, line: number, column: number): HeaderHover | undefined {
  const { source: header, header: resolved } = parsed;
  if (line === parsed.namesLine && header.blockPath.length > 0) return columnHover(parsed, line, column);
  const offset = offsetAt(header.source, line, column);
  const context = yamlContext(header.source, header.places, offset);
  if (!context || context.span[0] === context.span[1]) return undefined;
  const word = header.source.text.slice(...context.span);
  const path = context.part === 'key' ? [...context.path, word.replace(/^(['"])(.*)\1$/, '$2')] : context.path;
  const field = schemaAt(header.schema, path);
  const notes = field && notesOf(field);
  if (!notes) return undefined;
  const channel = channelOf(header, resolved, path);
  const needs = dimensionAt(notes, header.places.value, path);
  const lines = [
    `**${plainMarkdown(String(path.at(-1)))}**: ${notes.meaning}`,
    ...(needs ? [`Unit: a ${needs.dimension}, usually ${needs.unit}`] : []),
    ...(notes.default === undefined ? [] : [`Default: ${notes.default}`]),
    ...(notes.example === undefined ? [] : [`Example: \`${notes.example}\``]),
    ...resolvedLines(header, path, needs?.dimension),
    ...(channel ? [channelLine(channel, resolved!)] : []),
  ];
  return { range: rangeBetween(header.source, ...context.span), markdown: lines.join('\n\n') };
}

function resolvedLines({ places }: HeaderSource, path: Path, dimension: Dimension | undefined): string[] {
  const value = valueAt(places.value, path);
  if (typeof value !== 'string') return [];
  const read = dimension ? readQuantity(value, dimension) : undefined;
  if (dimension && read?.ok) return [`Read as ${significant(read.si)} ${dimensions[dimension].si}`];
  const material = path.at(-1) === 'material' ? findMaterial(value) : undefined;
  if (!material) return [];
  return [
    `${material.name} (${material.source}): ${significant(material.youngsModulusPa * gigapascal.scale)} ${gigapascal.unit}, Poisson's ratio ${material.poissonsRatio}, ` +
      `${significant(material.thermalExpansionPerK * 1e6)}e-6 1/K, yield ${significant(material.yieldStressPa * megapascal.scale)} ${megapascal.unit}`,
  ];
}

/** The channel whose own key is at the path. */
function channelOf({ blockPath }: HeaderSource, header: LogHeader | undefined, path: Path): Channel | undefined {
  if (path.length !== blockPath.length + 2 || path[blockPath.length] !== 'channels') return undefined;
  return header?.channels.find((channel) => channel.name === path.at(-1));
}

function channelLine(channel: Channel, header: LogHeader): string {
  const cell = header.cells[channel.cell]?.name;
  const plane = header.planes[channel.plane]?.name;
  const direction = Number.isNaN(channel.directionRad)
    ? ''
    : `, ${significant((channel.directionRad * 180) / Math.PI)} deg`;
  const where = cell === undefined ? 'the plate' : plainMarkdown(cell);
  const at = plane === undefined ? where : `${where}, plane ${plainMarkdown(plane)}`;
  return `${channel.kind}${channel.strainFree ? ', strain-free reference' : ''} at ${at}${direction}`;
}

function columnHover(
  { source: { source }, header }: ParsedHeader,
  line: number,
  column: number,
): HeaderHover | undefined {
  const fields = namesOfRow(lineText(source, line), ',');
  const field = fields.find(({ from, to }) => column - 1 >= from && column - 1 <= to);
  if (!field || !header) return undefined;
  const declared = header.columns.find((each) => each.name === field.name);
  const channel = header.channels.find((each) => each.name === field.name);
  const type = `${declared?.datatype ?? 'undeclared'}${declared?.unit ? ` in ${declared.unit}` : ''}`;
  const lines = [
    `**${plainMarkdown(field.name)}**: ${plainMarkdown(type)}`,
    channel ? channelLine(channel, header) : 'no channel names this column; it is kept and can be plotted',
  ];
  const start = source.lineStarts[line - 1]!;
  return { range: rangeBetween(source, start + field.from, start + field.to), markdown: lines.join('\n\n') };
}

/** Six significant digits, without trailing zeros or float noise. */
function significant(value: number): string {
  return String(Number(value.toPrecision(6)));
}
