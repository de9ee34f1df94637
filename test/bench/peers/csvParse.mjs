// csv-parse, streaming, its own number cast; only one mean and the count are kept.
import { createReadStream } from 'node:fs';
import { parse } from 'csv-parse';
import { answer, theLog } from './log.mjs';

const { path, headerLines, names, compared } = theLog();
const column = names.indexOf(compared);
const parser = createReadStream(path).pipe(parse({ cast: true, from_line: headerLines + 2 }));
let rows = 0;
let sum = 0;
parser.on('data', (row) => {
  rows++;
  sum += row[column];
});
parser.on('end', () => answer(rows, sum / rows));
