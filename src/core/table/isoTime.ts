// ISO 8601 stamps to seconds since 1970-01-01T00:00:00 UTC (Unix time: leap seconds are not counted).
// Taken: YYYY-MM-DD, then `T` or a space, HH:MM, optional :SS, optional fraction after a point or comma, optional zone
// Z, ±hh, ±hhmm or ±hh:mm. Without a zone the stamp is taken as UTC. Days from a date after H. Hinnant,
// chrono-compatible low-level date algorithms (2013), proleptic Gregorian.

const daysInMonth = [31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];

/** Days from 1970-01-01 to a date of the proleptic Gregorian calendar; month and day count from 1. NaN where no such day. */
export function daysSince1970(year: number, month: number, day: number): number {
  const leap = year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0);
  const longest = month === 2 && !leap ? 28 : (daysInMonth[month - 1] ?? 0);
  if (!(day >= 1 && day <= longest)) return NaN;
  const shifted = month <= 2 ? year - 1 : year;
  const era = Math.floor(shifted / 400);
  const yearOfEra = shifted - era * 400;
  const dayOfYear = Math.floor((153 * (month + (month > 2 ? -3 : 9)) + 2) / 5) + day - 1;
  const dayOfEra = yearOfEra * 365 + Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100) + dayOfYear;
  return era * 146_097 + dayOfEra - 719_468;
}

/** Seconds since 1970 of the stamp in bytes [from, to); NaN where it is none. */
export function isoSeconds(bytes: Uint8Array, from: number, to: number): number {
  if (to - from < 10 || bytes[from + 4] !== 45 || bytes[from + 7] !== 45) return NaN;
  const days = daysSince1970(
    twoDigits(bytes, from) * 100 + twoDigits(bytes, from + 2),
    twoDigits(bytes, from + 5),
    twoDigits(bytes, from + 8),
  );
  let p = from + 10;
  if (p === to) return days * 86_400;
  if (bytes[p] !== 84 && bytes[p] !== 116 && bytes[p] !== 32) return NaN;
  if (to - p < 6 || bytes[p + 3] !== 58) return NaN;
  const hour = twoDigits(bytes, p + 1);
  const minute = twoDigits(bytes, p + 4);
  p += 6;
  let second = 0;
  let fraction = 0;
  if (p < to && bytes[p] === 58) {
    if (to - p < 3) return NaN;
    second = twoDigits(bytes, p + 1);
    p += 3;
    if (p < to && (bytes[p] === 46 || bytes[p] === 44)) {
      const first = ++p;
      let scale = 1;
      for (; p < to && bytes[p]! >= 48 && bytes[p]! <= 57; p++) {
        if (p - first >= 12) continue;
        fraction = fraction * 10 + (bytes[p]! - 48);
        scale *= 10;
      }
      if (p === first) return NaN;
      fraction /= scale;
    }
  }
  if (!(hour <= 23 && minute <= 59 && second <= 60)) return NaN;
  const zone = zoneSeconds(bytes, p, to);
  return days * 86_400 + hour * 3600 + minute * 60 + second - zone + fraction;
}

/** Seconds east of Greenwich of the zone in bytes [from, to); 0 where there is none; NaN where it is malformed. */
export function zoneSeconds(bytes: Uint8Array, from: number, to: number): number {
  if (from === to) return 0;
  const mark = bytes[from];
  const length = to - from;
  if (mark === 90 || mark === 122) return length === 1 ? 0 : NaN;
  if ((mark !== 43 && mark !== 45) || (length !== 3 && length !== 5 && length !== 6)) return NaN;
  if (length === 6 && bytes[from + 3] !== 58) return NaN;
  const hours = twoDigits(bytes, from + 1);
  const minutes = length === 3 ? 0 : twoDigits(bytes, to - 2);
  if (!(hours <= 23 && minutes <= 59)) return NaN;
  return (mark === 45 ? -1 : 1) * (hours * 3600 + minutes * 60);
}

function twoDigits(bytes: Uint8Array, at: number): number {
  const tens = bytes[at]! - 48;
  const ones = bytes[at + 1]! - 48;
  return tens >= 0 && tens <= 9 && ones >= 0 && ones <= 9 ? tens * 10 + ones : NaN;
}
