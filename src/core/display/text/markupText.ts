// Text within markup, SVG or HTML.

/** Text as the content of an element or of a quoted attribute. */
export function escapeText(text: string): string {
  return text.replace(/&/g, '&amp;').replace(/</g, '&lt;').replace(/>/g, '&gt;').replace(/"/g, '&quot;');
}
