// Words of a log on their way into Markdown, which would obey the signs in them.

/** A log's own words as plain text of Markdown, on one line: no HTML, link, code or table of theirs, nor a mention. */
export function plain(text: string): string {
  return (
    text
      .replace(/\s+/g, ' ')
      .trim()
      .replace(/&/g, '&amp;')
      .replace(/</g, '&lt;')
      .replace(/([\\`*_[\]|~!#])/g, '\\$1')
      // Many viewers make links of bare addresses, too; some of those of mail whatever is escaped.
      .replace(/(?<=\/)\//g, '\\/')
      .replace(/(?<=www)\./gi, '\\.')
      .replace(/@(?=\w)/g, '\\@\u200b')
  );
}
