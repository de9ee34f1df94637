// The truth of a log (`underplate simulate --truth`, or written by hand for a real build) -> true events in SI.
import { isNode, LineCounter, parseDocument } from 'yaml';
import * as v from 'valibot';
import type { TrueEvent } from '../simulation/truth.ts';

const number = v.pipe(v.number('write a number'), v.finite('write a finite number'));
const triple = v.tuple([number, number, number], 'write three numbers, [ex, ey, gxy] in um/m');

const eventSchema = v.strictObject({
  nature: v.picklist(['mechanical', 'thermal', 'sensor'], 'choose mechanical, thermal or sensor'),
  kind: v.string('write the kind, such as release'),
  label: v.optional(v.string('write text'), ''),
  time_s: number,
  end_time_s: v.optional(number),
  full_time_s: v.optional(number),
  layer: v.optional(number, -1),
  part: v.optional(v.string('write the name of the part'), ''),
  origin_mm: v.optional(v.tuple([number, number], 'write x and y in mm')),
  size_microstrain: v.optional(number),
  size_sigmas: v.optional(number),
  channels: v.optional(v.array(v.string('write the name of a column')), []),
  cells: v.optional(
    v.array(
      v.strictObject({
        cell: v.string('write the name of a cell'),
        plane: v.optional(v.string(), ''),
        change_microstrain: triple,
      }),
    ),
    [],
  ),
});

const truthSchema = v.strictObject({
  truth: v.literal(1, 'only version 1 is known; write 1'),
  noise_microstrain: v.optional(number),
  events: v.array(eventSchema, 'list the events, or write [] for none'),
});

export type TruthResult =
  | { readonly ok: true; readonly events: readonly TrueEvent[] }
  | { readonly ok: false; readonly line: number; readonly column: number; readonly message: string };

export function readTruth(text: string): TruthResult {
  const lines = new LineCounter();
  const document = parseDocument(text, { lineCounter: lines, prettyErrors: false, logLevel: 'error' });
  const error = document.errors[0];
  if (error) {
    const { line, col } = lines.linePos(error.pos[0]);
    return { ok: false, line, column: col, message: `the YAML cannot be read here: ${error.message}` };
  }
  const read = v.safeParse(truthSchema, document.toJS());
  if (read.success) return { ok: true, events: read.output.events.map(trueEvent) };
  const issue = read.issues[0];
  const path = (issue.path ?? []).map(({ key }) => key as string | number);
  let offset = 0;
  for (let depth = path.length; depth >= 0; depth--) {
    const node = document.getIn(path.slice(0, depth), true);
    if (!isNode(node) || !node.range) continue;
    offset = node.range[0];
    break;
  }
  const { line, col } = lines.linePos(offset);
  return { ok: false, line, column: col, message: `${path.join('.') || 'truth'}: ${issueText(issue)}` };
}

function issueText(issue: v.BaseIssue<unknown>): string {
  if (issue.expected === 'never') return 'this key is not known here; take it out or check its spelling';
  if (issue.type === 'strict_object' && issue.received !== 'undefined') {
    return `a set of keys with values is needed here, as 'underplate simulate --truth' writes it`;
  }
  if (issue.received === 'undefined') return 'this is missing; add it';
  return issue.message;
}

function trueEvent(raw: v.InferOutput<typeof eventSchema>): TrueEvent {
  const [x, y] = raw.origin_mm ?? [NaN, NaN];
  return {
    nature: raw.nature,
    kind: raw.kind,
    label: raw.label,
    timeS: raw.time_s,
    endTimeS: raw.end_time_s ?? NaN,
    fullTimeS: raw.full_time_s ?? raw.time_s,
    layer: raw.layer,
    part: raw.part,
    originM: [x * 1e-3, y * 1e-3],
    size: (raw.size_microstrain ?? NaN) * 1e-6,
    sigmas: raw.size_sigmas ?? NaN,
    cells: raw.cells.map(({ cell, plane, change_microstrain: [ex, ey, gxy] }) => ({
      cell,
      plane,
      change: [ex * 1e-6, ey * 1e-6, gxy * 1e-6],
    })),
    channels: raw.channels,
  };
}
