// The row of column names: fields with their places, quoted as RFC 4180 has it. One line only; a name holds no line break.

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
    const to = fieldEnd(line, from, delimiter);
    const raw = line.slice(from, to);
    const name =
      raw.startsWith('"') && raw.endsWith('"') && raw.length > 1 ? raw.slice(1, -1).replaceAll('""', '"') : raw;
    fields.push({ name: name.trim(), from, to });
    if (to >= line.length) return fields;
    from = to + delimiter.length;
  }
}

function fieldEnd(line: string, from: number, delimiter: string): number {
  let at = from;
  if (line[at] === '"') {
    at++;
    while (at < line.length && (line[at] !== '"' || line[at + 1] === '"')) at += line[at] === '"' ? 2 : 1;
  }
  const end = line.indexOf(delimiter, at);
  return end < 0 ? line.length : end;
}
