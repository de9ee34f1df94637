// What a person writes when asked for a place of the log -> the place that the analysis is asked for.
import type { PlaceRequest } from '../messages/analysis.ts';

/** `1:02:03.5`, `2:03`, `754.2 s` as times of the log, as every plot and list shows them; `:20412` as a line; undefined for anything else. */
export function placeAsked(text: string): PlaceRequest | undefined {
  const trimmed = text.trim();
  const line = /^:(\d+)$/.exec(trimmed);
  if (line) return { line: Number(line[1]) };
  // Screens show a true minus sign.
  const sign = /^[-−]/.test(trimmed) ? -1 : 1;
  const amount = trimmed.replace(/^[-−]/, '');
  const seconds = /^(\d+(?:\.\d+)?)\s*s$/.exec(amount);
  if (seconds) return { timeS: sign * Number(seconds[1]) };
  const parts = /^(?:(\d+):)?(\d{1,2}):(\d{1,2}(?:\.\d+)?)$/.exec(amount);
  if (!parts) return undefined;
  const [, hours = '0', minutes = '0', rest = '0'] = parts;
  return { timeS: sign * (Number(hours) * 3600 + Number(minutes) * 60 + Number(rest)) };
}
