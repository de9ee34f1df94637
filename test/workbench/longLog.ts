// A log of any length: the sample log, its rows again and again with time and layer going on.
import { once } from 'node:events';
import { createWriteStream } from 'node:fs';
import { sampleText } from './sample.ts';

/** Writes at least so many bytes of `sample`'s rows, after its header. */
export async function writeLongLog(file: string, sample: string, bytes: number): Promise<void> {
  const lines = sampleText(sample).trimEnd().split('\n');
  const names = lines.findIndex((line) => !line.startsWith('#'));
  const rows = lines.slice(names + 1).map((line) => line.split(','));
  const spanS = Number(rows.at(-1)?.[0]) + 1;
  const layers = Number(rows.at(-1)?.[1]);
  const out = createWriteStream(file);
  out.write(`${lines.slice(0, names + 1).join('\n')}\n`);
  for (let written = 0, round = 0; written < bytes; round++) {
    const part = rows.map(([time, layer, ...rest]) =>
      [(Number(time) + round * spanS).toFixed(1), Number(layer) + round * layers, ...rest].join(','),
    );
    const text = `${part.join('\n')}\n`;
    written += text.length;
    if (!out.write(text)) await once(out, 'drain');
  }
  out.end();
  await once(out, 'finish');
}
