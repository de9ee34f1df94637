// What a person writes when asked for a place of the log -> the place that the analysis is asked for.
import type { PlaceRequest } from '../messages/analysis.ts';

/** `1:02:03.5`, `2:03`, `754.2 s` as times since `startS`, `:20412` as a line; undefined for anything else. */
export function placeAsked(text: string, startS: number): PlaceRequest | undefined {
  const trimmed = text.trim();
  const line = /^:(\d+)$/.exec(trimmed);
  if (line) return { line: Number(line[1]) };
  const seconds = /^(\d+(?:\.\d+)?)\s*s$/.exec(trimmed);
  if (seconds) return { timeS: startS + Number(seconds[1]) };
  const parts = /^(?:(\d+):)?(\d{1,2}):(\d{1,2}(?:\.\d+)?)$/.exec(trimmed);
  if (!parts) return undefined;
  const [, hours = '0', minutes = '0', rest = '0'] = parts;
  return { timeS: startS + Number(hours) * 3600 + Number(minutes) * 60 + Number(rest) };
}
