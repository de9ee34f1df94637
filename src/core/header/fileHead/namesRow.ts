// The row of column names: fields with their places, quoted as RFC 4180 has it. One line only; a name holds no line break.
import { fieldEnd } from '../../table/rowFields.ts';

export interface NameField {
  readonly name: string;
  /** Offsets within the line, quotes included. */
  readonly from: number;
  readonly to: number;
}

export function namesOfRow(line: string, delimiter: string): NameField[] {
  const fields: NameField[] = [];
  let from = 0;
  for (;;) {
    const to = fieldEnd(line, from, line.length, delimiter);
    const raw = line.slice(from, to);
    const name =
      raw.startsWith('"') && raw.endsWith('"') && raw.length > 1 ? raw.slice(1, -1).replaceAll('""', '"') : raw;
    fields.push({ name: name.trim(), from, to });
    if (to >= line.length) return fields;
    from = to + delimiter.length;
  }
}
