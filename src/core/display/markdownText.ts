// A log's own words within Markdown.

/**
 * Text on one line that Markdown shows as it stands: no picture, link, address, code, table or HTML of its own. Every sign
 * of ASCII that could mean something has a backslash before it (CommonMark 2.4).
 */
export function plainMarkdown(text: string): string {
  return text
    .trim()
    .replace(/\s+/g, ' ')
    .replace(/[!-/:-@[-`{-~]/g, '\\$&');
}
