import assert from 'node:assert/strict';
import { run } from './runCommand.ts';

export interface JsonLog {
  readonly path: string;
  readonly rows: number;
  readonly duration_s: number;
  readonly failure: string;
  readonly problems: readonly { line: number; column: number; severity: string; code: string; message: string }[];
  readonly events: readonly {
    id: string;
    nature: string;
    severity: string;
    line: number;
    time_s: number;
    detected_time_s: number;
    layer: number;
    cells: readonly { cell: string; plane: string; change_microstrain: readonly number[]; turn_deg: number | null }[];
    origin_mm: readonly number[] | null;
    part: string;
    verdict: string | null;
    message: string;
  }[];
}

/** What `check` says of the logs as JSON. */
export async function checkedJson(folder: string, ...argv: string[]): Promise<JsonLog[]> {
  const { out } = await run(['check', '--format', 'json', ...argv], { cwd: folder });
  const read = JSON.parse(out) as { schema: string; logs: JsonLog[] };
  assert.equal(read.schema, 'underplate-check/1');
  return read.logs;
}
