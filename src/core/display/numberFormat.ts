// Numbers as people read them: value and unit in one text, never NaN or Infinity. Undefined is an en dash.
// Screens and reports only; files carry plain numbers and an empty field.

export const undefinedText = '–';

/** `-41.23` with 1 decimal -> '−41.2'. */
export function fixed(value: number, decimals: number): string {
  if (!Number.isFinite(value)) return undefinedText;
  const text = value.toFixed(decimals);
  return Number(text) === 0 ? text.replace('-', '') : text.replace('-', '−');
}

/** With all the digits that a log has: `-3.20500` -> '−3.205'. */
export function asRead(value: number): string {
  return Number.isFinite(value) ? String(value).replace(/^-/, '−') : undefinedText;
}

/** Value in its unit with about three significant digits: '−41.2 µm/m', '31°', '–' where undefined. */
export function measure(value: number, unitLabel: string): string {
  if (!Number.isFinite(value)) return undefinedText;
  return withUnit(significant(value), unitLabel);
}

/** Value with its standard error, both to the error's size: '31° ± 2°'. Without an error, the value alone. */
export function measureWithError(value: number, error: number, unitLabel: string): string {
  if (!Number.isFinite(value)) return undefinedText;
  if (!Number.isFinite(error)) return measure(value, unitLabel);
  const decimals = decimalsFor(error);
  const [text, spread] =
    decimals <= mostDecimals
      ? [fixed(value, decimals), fixed(error, decimals)]
      : [significant(value), significant(error)];
  return `${withUnit(text, unitLabel)} ± ${withUnit(spread, unitLabel)}`;
}

/** Direction of an axis in degrees with its standard error: in [0, 180) as it reads, so that 179.7 ± 3 is '0° ± 3°'. */
export function axisText(valueDeg: number, errorDeg: number): string {
  const turned = ((valueDeg % 180) + 180) % 180;
  const read = Number.isFinite(errorDeg)
    ? fixed(turned, Math.min(decimalsFor(errorDeg), mostDecimals))
    : significant(turned);
  return measureWithError(Number(read) >= 180 ? 0 : turned, errorDeg, '°');
}

/** Beyond so many, digits are counted and not decimals. */
const mostDecimals = 8;

/** Decimals that show an error with one digit, from 2 of its last place on: 2 to 19.9 none, 0.2 to 1.99 one. */
function decimalsFor(error: number): number {
  return Math.max(0, Math.ceil(-Math.log10(Math.abs(error) / 2)));
}

/** A signed change: '+12.9 µm/m'. */
export function change(value: number, unitLabel: string): string {
  const text = measure(value, unitLabel);
  return value > 0 && text !== undefinedText ? `+${text}` : text;
}

export function withUnit(text: string, unitLabel: string): string {
  if (text === undefinedText || unitLabel === '') return text;
  return unitLabel === '°' ? `${text}°` : `${text} ${unitLabel}`;
}

/** A time of the log, as its time column has it: '5:39:51.0', '0:02:03'. Decimals only where asked for. */
export function clock(timeS: number, decimals = 0): string {
  if (!Number.isFinite(timeS)) return undefinedText;
  if (Math.abs(timeS) > 1e12) return measure(timeS, 's');
  const factor = 10 ** decimals;
  const total = Math.round(Math.abs(timeS) * factor) / factor;
  const hours = Math.floor(total / 3600);
  const minutes = Math.floor((total - hours * 3600) / 60);
  const seconds = total - hours * 3600 - minutes * 60;
  const secondsText = seconds.toFixed(decimals).padStart(decimals > 0 ? 3 + decimals : 2, '0');
  return `${timeS < 0 && total > 0 ? '−' : ''}${hours}:${String(minutes).padStart(2, '0')}:${secondsText}`;
}

/** A span of time in words: '12 h 3 min', '45 s', '0.2 s'. */
export function duration(spanS: number): string {
  if (!Number.isFinite(spanS)) return undefinedText;
  if (spanS < 10 || spanS > 1e12) return `${significant(spanS)} s`;
  const seconds = Math.round(spanS);
  if (seconds < 60) return `${seconds} s`;
  const minutes = Math.floor(seconds / 60);
  if (minutes < 60) return seconds % 60 === 0 ? `${minutes} min` : `${minutes} min ${seconds % 60} s`;
  const rest = Math.round((seconds - Math.floor(minutes / 60) * 3600) / 60);
  const hours = Math.floor(minutes / 60) + (rest === 60 ? 1 : 0);
  return rest % 60 === 0 ? `${hours} h` : `${hours} h ${rest} min`;
}

/** '1 234 567' with narrow spaces; counts only. */
export function count(value: number): string {
  return Number.isFinite(value) ? String(Math.round(value)).replace(/\B(?=(\d{3})+$)/g, '\u202f') : undefinedText;
}

/** '1 finding', '3 findings'. */
export function countOf(value: number, one: string, many: string): string {
  return `${count(value)} ${value === 1 ? one : many}`;
}

/** What is said after one finding of the `folded` others that it stands for: ' (and 3 more like it)'; '' where there are none. */
export function andMoreLikeIt(folded = 0): string {
  return folded > 0 ? ` (and ${folded} more like it)` : '';
}

function significant(value: number): string {
  // As rounded: 99.97 has no decimals left.
  const size = Math.abs(Number(value.toPrecision(3)));
  if (size === 0) return '0';
  if (size >= 1e6 || size < 1e-3) {
    const [mantissa, exponent] = value.toExponential(2).split('e');
    return `${mantissa!.replace('-', '−')}·10${superscript(Number(exponent))}`;
  }
  return fixed(value, Math.max(0, 2 - Math.floor(Math.log10(size))));
}

function superscript(exponent: number): string {
  const digits = '⁰¹²³⁴⁵⁶⁷⁸⁹';
  return String(exponent)
    .replace('-', '⁻')
    .replace(/\d/g, (digit) => digits[Number(digit)]!);
}
