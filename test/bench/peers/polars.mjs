// polars: the bare read, and the mean of every column.
import polars from 'nodejs-polars';
import { answer, theLog } from './log.mjs';

const { path, compared } = theLog();
const table = polars.readCSV(path, { commentPrefix: '#' });
const means = table.mean();
answer(table.height, means.getColumn(compared).get(0));
