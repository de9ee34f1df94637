import assert from 'node:assert/strict';
import { parse } from 'csv-parse/sync';
import { parse as parseYaml } from 'yaml';

export interface Ecsv {
  readonly header: {
    delimiter: string;
    datatype: { name: string; unit?: string; datatype: string }[];
    meta: {
      datum: { rows: number; fit: boolean };
      heat_left_in?: string[];
      sick_channels?: Record<string, string | number>[];
    };
  };
  readonly rows: Record<string, string>[];
  readonly text: string;
}

/** Read as any reader of ECSV would: YAML out of the comment lines, RFC 4180 below. */
export function ecsv(text: string): Ecsv {
  const lines = text.split('\n');
  assert.equal(lines[0], '# %ECSV 1.0');
  const yaml = lines
    .filter((line) => line.startsWith('# '))
    .slice(2)
    .map((line) => line.slice(2));
  const rows = parse(text, { comment: '#', columns: true }) as Record<string, string>[];
  return { header: parseYaml(yaml.join('\n')) as Ecsv['header'], rows, text };
}
