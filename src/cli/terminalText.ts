// Words of a log on their way to a terminal, which would obey the control characters in them.

/** On one line; control characters shown as `\x1b`. */
export function oneLine(text: string): string {
  return withoutControls(text.replace(/\s+/g, ' ').trim());
}

/** Line breaks stay. */
export function withoutControls(text: string): string {
  return text.replace(/(?!\n)\p{Cc}/gu, (sign) => `\\x${sign.charCodeAt(0).toString(16).padStart(2, '0')}`);
}
