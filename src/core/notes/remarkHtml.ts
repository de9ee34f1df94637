// A remark's Markdown -> plain HTML for a printed page. Only paragraphs, line breaks, lists' own signs, `code`, **strong**
// and *stressed* words are set; everything else appears as it was typed. A remark can bring in no tag, script, style,
// picture or address of its own: its text is escaped first, and what is then added are four fixed tags without attributes.
import { escapeText } from '../display/text/markupText.ts';

export function remarkHtml(markdown: string): string {
  const paragraphs = markdown
    .replace(/\r\n?/g, '\n')
    .split(/\n[ \t]*\n+/)
    .map((text) => text.trim())
    .filter((text) => text !== '');
  return paragraphs.map((text) => `<p>${inline(escapeHtml(text)).replace(/\n/g, '<br>')}</p>`).join('\n');
}

/** Text as the content of an element or of a quoted attribute. Signs that XML forbids are left out. */
export function escapeHtml(text: string): string {
  const allowed = text.replace(/(?![\t\n\r])\p{Cc}|[\ufffe\uffff]|\p{Cs}/gu, '');
  return escapeText(allowed).replace(/'/g, '&#39;');
}

function inline(escaped: string): string {
  const parts = escaped.split(/(`[^`\n]+`)/);
  return parts
    .map((part) =>
      part.length > 2 && part.startsWith('`') && part.endsWith('`')
        ? `<code>${part.slice(1, -1)}</code>`
        : stressed(part),
    )
    .join('');
}

function stressed(text: string): string {
  return text
    .replace(/\*\*(?=\S)([^*\n]+?)(?<=\S)\*\*/g, '<strong>$1</strong>')
    .replace(/(?<![*\w])\*(?=[^\s*])([^*\n]+?)(?<=[^\s*])\*(?![*\w])/g, '<em>$1</em>');
}
