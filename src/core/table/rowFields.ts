// The fields of one row of text, with quotes as in RFC 4180 and as the scanner has them: only a field that begins with one
// is quoted. For what the editor shows of a row, and what a note remembers of it; the analysis scans bytes.

/** Where the field that begins at `start` ends: at its delimiter, or at `end` of the row. */
export function fieldEnd(text: string, start: number, end: number, delimiter: string): number {
  const at = text.indexOf(delimiter, text[start] === '"' ? afterQuotes(text, start, end) : start);
  return at < 0 || at > end ? end : at;
}

/** Behind the quote that closes the one at `start`; `end` where none does. */
function afterQuotes(text: string, start: number, end: number): number {
  for (let at = start + 1; ;) {
    const quote = text.indexOf('"', at);
    if (quote < 0 || quote >= end) return end;
    if (text[quote + 1] !== '"') return quote + 1;
    at = quote + 2; // a quote inside quoted text is written twice
  }
}

/** The text of a field without blanks and quotes around it. */
export function fieldText(text: string, start: number, end: number): string {
  const field = text.slice(start, end).trim();
  return /^"[^]*"$/.test(field) ? field.slice(1, -1).replace(/""/g, '"').trim() : field;
}

/** Texts of a row's fields, one at least. */
export function fieldsOf(row: string, delimiter: string): string[] {
  const fields: string[] = [];
  for (let start = 0; ;) {
    const end = fieldEnd(row, start, row.length, delimiter);
    fields.push(fieldText(row, start, end));
    if (end === row.length) return fields;
    start = end + delimiter.length;
  }
}

/** The column (from 0) that a row is in after `before`, the text from its start. */
export function columnAfter(before: string, delimiter: string): number {
  return fieldsOf(before, delimiter).length - 1;
}
