// A log's own words within Markdown, which would obey the signs in them.

/**
 * Text on one line that Markdown shows as it stands: no picture, link, address, mention, code, table or HTML of its own.
 * `shown`: every sign of ASCII has a backslash before it (CommonMark 2.4), for what is seen only as Markdown shows it.
 * `legible`: only signs that could mean something do, for files that people read as they are, too.
 */
export function plainMarkdown(text: string, as: 'shown' | 'legible' = 'shown'): string {
  const line = text.replace(/\s+/g, ' ').trim();
  if (as === 'shown') return line.replace(/[!-/:-@[-`{-~]/g, '\\$&');
  return (
    line
      .replace(/&/g, '&amp;')
      .replace(/</g, '&lt;')
      .replace(/[\\`*_[\]|~!#]/g, '\\$&')
      // Many viewers make links of bare addresses, too; some of those of mail whatever is escaped.
      .replace(/(?<=\/)\//g, '\\/')
      .replace(/(?<=www)\./gi, '\\.')
      .replace(/@(?=\w)/g, '\\@\u200b')
  );
}
