// uDSV, typed rows, streaming; only one mean and the count are kept.
import { createReadStream } from 'node:fs';
import { inferSchema, initParser } from 'udsv';
import { answer, theLog } from './log.mjs';

const { path, headerLines, names, compared } = theLog();
const column = names.indexOf(compared);
let parser;
let rows = 0;
let sum = 0;
const take = (row) => {
  rows++;
  sum += row[column];
};
for await (const text of createReadStream(path, { encoding: 'utf8', highWaterMark: 1024 * 1024 })) {
  if (parser) parser.chunk(text, parser.typedArrs, take);
  else {
    const table = text.split('\n').slice(headerLines).join('\n');
    parser = initParser(inferSchema(table));
    parser.chunk(table, parser.typedArrs, take);
  }
}
parser.end();
answer(rows, sum / rows);
