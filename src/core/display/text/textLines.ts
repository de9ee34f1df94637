// Text of a drawing in lines that fit. A drawing is made without a page at hand, so widths are reckoned by letters.

/** Width of a letter of 11 px, so much that text in a wide face still fits. */
const letterPx = 6.4;

export function textWidthPx(text: string): number {
  return text.length * letterPx;
}

/** How many letters have room. */
export function lettersWithin(widthPx: number): number {
  return Math.floor(widthPx / letterPx);
}

/** Broken between words; a word that is wider than `widthPx` stands alone. At least one line. */
export function textLines(text: string, widthPx: number): string[] {
  const lines = [''];
  for (const word of text.split(' ')) {
    const line = lines.at(-1)!;
    if (line !== '' && textWidthPx(`${line} ${word}`) > widthPx) lines.push(word);
    else lines[lines.length - 1] = line === '' ? word : `${line} ${word}`;
  }
  return lines;
}

/** In at most so many letters, three at least. Names of one log often begin alike, so what is left out is the middle. */
export function withoutMiddle(text: string, letters: number): string {
  if (text.length <= letters) return text;
  const end = Math.max(1, Math.floor((letters - 1) / 2));
  return `${text.slice(0, Math.max(1, letters - 1 - end))}…${text.slice(-end)}`;
}
