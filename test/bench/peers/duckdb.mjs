// DuckDB: averages of both principal strains and their direction in every cell, least and greatest of every column, in one
// query over the file. Second argument `typed`: column types declared; otherwise detected.
// Principal strains of a 0/45/90/135 degree rosette by least squares, as ours.
import { DuckDBInstance } from '@duckdb/node-api';
import { answer, theLog } from './log.mjs';

const { path, headerLines, names, compared } = theLog();
const cells = names.filter((name) => name.endsWith('_0')).map((name) => name.slice(0, -2));
const derived = cells.flatMap((cell) => {
  const [e0, e45, e90, e135] = ['0', '45', '90', '135'].map((direction) => `"${cell}_${direction}"`);
  const centre = `(${e0} + ${e45} + ${e90} + ${e135}) / 4`;
  const radius = `sqrt(((${e0} - ${e90}) / 2) ** 2 + ((${e45} - ${e135}) / 2) ** 2)`;
  const direction = `atan2(${e45} - ${e135}, ${e0} - ${e90}) / 2`;
  return [`avg(${centre} + ${radius})`, `avg(${centre} - ${radius})`, `avg(${direction})`];
});
const extremes = names.flatMap((name) => [`min("${name}")`, `max("${name}")`]);
const types = names.map((name) => `'${name}': '${name === 'layer' ? 'INTEGER' : 'DOUBLE'}'`);
const reading =
  process.argv[3] === 'typed' ? `header = true, auto_detect = false, columns = {${types}}` : 'header = true';
const query = `select count(*), avg("${compared}"), ${[...derived, ...extremes]}
  from read_csv('${path}', delim = ',', skip = ${headerLines}, ${reading})`;

const connection = await (await DuckDBInstance.create()).connect();
const [row] = (await connection.runAndReadAll(query)).getRows();
answer(Number(row[0]), row[1]);
