// `check` of a log with a given number of threads, for the bench: path and threads on the command line, rows as JSON.
import { analyseFile } from '../../../src/worker/analyseFile.ts';

const file = await analyseFile(process.argv[2]!, { workers: Number(process.argv[3]) });
console.log(JSON.stringify({ rows: file.summary.rows }));
await file.close();
