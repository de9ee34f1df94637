// Time stamps in a layout of the user's (`time_format`) to seconds since 1970 UTC. The layout is written in the date
// field symbols of Unicode LDML (UTS #35, part 4, Date Field Symbol Table); taken are:
//   yyyy year · yy year of 2000 to 2099 · MM, M month · MMM English short month · dd, d day · HH, H hour 0 to 23 ·
//   hh, h hour 1 to 12 with a for AM or PM · mm, m minute · ss, s second · S… fraction of a second, any number of digits ·
//   X zone (Z, ±hh, ±hhmm, ±hh:mm) · 'text' literal, '' a quote; every other character that is no letter stands for itself.
// YYYY and DD are taken as yyyy and dd, as is commonly meant. Two letters take two digits, one letter one or two; the
// fraction may also be missing together with the mark before it. Without a zone the stamp is taken as UTC.
import { wordsOf } from '../problem.ts';
import { daysSince1970, zoneSeconds } from './isoTime.ts';

/** Seconds since 1970 of the stamp in bytes [from, to); NaN where it does not have the layout. */
export type TimeReader = (bytes: Uint8Array, from: number, to: number) => number;

interface Stamp {
  at: number;
  year: number;
  month: number;
  day: number;
  hour: number;
  /** Hours to add: 12 for PM, NaN where the layout has no AM or PM. */
  half: number;
  minute: number;
  second: number;
  fraction: number;
  zoneS: number;
}

/** Reads one part at `stamp.at` and moves it on; false where the text does not fit. */
type Part = (bytes: Uint8Array, to: number, stamp: Stamp) => boolean;

const shortMonths = ['jan', 'feb', 'mar', 'apr', 'may', 'jun', 'jul', 'aug', 'sep', 'oct', 'nov', 'dec'];

/** Makes the reader of a layout. Letters that are none of the symbols above throw; see `timeLayoutMistake`. */
export function timeReader(layout: string): TimeReader {
  const parts = partsOf(layout);
  const stamp: Stamp = emptyStamp(0);
  return (bytes, from, to) => {
    Object.assign(stamp, emptyStamp(from));
    for (const part of parts) if (!part(bytes, to, stamp)) return NaN;
    return stamp.at === to ? secondsOf(stamp) : NaN;
  };
}

/** What is wrong with a layout, as a sentence that names the remedy; '' where nothing is. */
export function timeLayoutMistake(layout: string): string {
  try {
    partsOf(layout);
    return '';
  } catch (error) {
    return wordsOf(error);
  }
}

function emptyStamp(at: number): Stamp {
  return { at, year: 1970, month: 1, day: 1, hour: 0, half: NaN, minute: 0, second: 0, fraction: 0, zoneS: 0 };
}

function secondsOf(stamp: Stamp): number {
  const { year, month, day, minute, second, half } = stamp;
  const twelve = !Number.isNaN(half);
  const hour = twelve ? (stamp.hour % 12) + half : stamp.hour;
  if (twelve && !(stamp.hour >= 1 && stamp.hour <= 12)) return NaN;
  if (!(hour <= 23 && minute <= 59 && second <= 60)) return NaN;
  const days = daysSince1970(year, month, day);
  return days * 86_400 + hour * 3600 + minute * 60 + second - stamp.zoneS + stamp.fraction;
}

function partsOf(layout: string): Part[] {
  const parts: Part[] = [];
  for (const [run] of layout.matchAll(/'(?:[^']|'')*'|([A-Za-z])\1*|[^]/gu)) {
    if (run.startsWith("'") && run.length > 1)
      parts.push(...literal(run === "''" ? "'" : run.slice(1, -1).replaceAll("''", "'")));
    else if (/[A-Za-z]/.test(run)) parts.push(fieldPart(run, parts));
    else parts.push(...literal(run));
  }
  return parts;
}

function literal(text: string): Part[] {
  return [...new TextEncoder().encode(text)].map(
    (byte) => (bytes, _, stamp) => bytes[stamp.at] === byte && ++stamp.at > 0,
  );
}

function fieldPart(run: string, before: Part[]): Part {
  switch (run) {
    case 'yyyy':
    case 'YYYY':
      return digitsPart(4, 4, (stamp, value) => (stamp.year = value));
    case 'yy':
    case 'YY':
      return digitsPart(2, 2, (stamp, value) => (stamp.year = 2000 + value));
    case 'MMM':
      return monthNamePart;
    case 'a':
      return halfDayPart;
    case 'X':
    case 'XX':
    case 'XXX':
      return zonePart;
  }
  if (/^S+$/.test(run)) return fractionPart(before.pop());
  const set = numberFields[run.charAt(0)];
  if (!set || run.length > 2) {
    throw new Error(
      `time_format: '${run}' stands for nothing; write yyyy MM dd HH mm ss SSS (or hh with a, MMM, X for the zone), and other letters between single quotes`,
    );
  }
  return digitsPart(run.length, 2, set);
}

type Setter = (stamp: Stamp, value: number) => void;

const numberFields: Record<string, Setter | undefined> = {
  M: (stamp, value) => (stamp.month = value),
  d: (stamp, value) => (stamp.day = value),
  D: (stamp, value) => (stamp.day = value),
  H: (stamp, value) => (stamp.hour = value),
  h: (stamp, value) => (stamp.hour = value),
  m: (stamp, value) => (stamp.minute = value),
  s: (stamp, value) => (stamp.second = value),
};

function digitsPart(least: number, most: number, set: Setter): Part {
  return (bytes, to, stamp) => {
    let value = 0;
    const first = stamp.at;
    const end = Math.min(to, first + most);
    for (; stamp.at < end && isDigit(bytes[stamp.at]!); stamp.at++) value = value * 10 + bytes[stamp.at]! - 48;
    set(stamp, value);
    return stamp.at - first >= least;
  };
}

/** The fraction, and the mark before it, which may both be missing. */
function fractionPart(mark: Part | undefined): Part {
  return (bytes, to, stamp) => {
    const start = stamp.at;
    if (mark && !mark(bytes, to, stamp)) {
      stamp.at = start;
      return true;
    }
    const first = stamp.at;
    let value = 0;
    let scale = 1;
    for (; stamp.at < to && isDigit(bytes[stamp.at]!); stamp.at++) {
      if (stamp.at - first >= 12) continue;
      value = value * 10 + bytes[stamp.at]! - 48;
      scale *= 10;
    }
    stamp.fraction = value / scale;
    return stamp.at > first;
  };
}

const monthNamePart: Part = (bytes, to, stamp) => {
  if (to - stamp.at < 3) return false;
  const name = String.fromCharCode(...bytes.subarray(stamp.at, stamp.at + 3)).toLowerCase();
  stamp.month = shortMonths.indexOf(name) + 1;
  stamp.at += 3;
  return stamp.month > 0;
};

const halfDayPart: Part = (bytes, to, stamp) => {
  if (to - stamp.at < 2) return false;
  const letter = bytes[stamp.at]! | 32;
  stamp.half = letter === 112 ? 12 : letter === 97 ? 0 : NaN;
  const fits = (bytes[stamp.at + 1]! | 32) === 109 && !Number.isNaN(stamp.half);
  stamp.at += 2;
  return fits;
};

const zonePart: Part = (bytes, to, stamp) => {
  let end = stamp.at;
  while (end < to && (isDigit(bytes[end]!) || isZoneMark(bytes[end]!))) end++;
  if (end === stamp.at) return false;
  stamp.zoneS = zoneSeconds(bytes, stamp.at, end);
  stamp.at = end;
  return !Number.isNaN(stamp.zoneS);
};

function isDigit(byte: number): boolean {
  return byte >= 48 && byte <= 57;
}

function isZoneMark(byte: number): boolean {
  return byte === 43 || byte === 45 || byte === 58 || byte === 90 || byte === 122;
}
