// A short name for a text, the same on every machine: 64 bits as two FNV-1a sums (Fowler, Noll, Vo; RFC 9923) with
// different starts, written as 16 hexadecimal digits. It guards against mistaking one row for another, not against
// forgery.

/** 16 hexadecimal digits. */
export function textHash(text: string): string {
  let low = 0x811c9dc5;
  let high = 0xcbf29ce4;
  for (let at = 0; at < text.length; at++) {
    const unit = text.charCodeAt(at);
    low = Math.imul(low ^ unit, 0x01000193);
    high = Math.imul(high ^ (unit + at), 0x01000193);
  }
  return hex(high) + hex(low);
}

function hex(word: number): string {
  return (word >>> 0).toString(16).padStart(8, '0');
}
