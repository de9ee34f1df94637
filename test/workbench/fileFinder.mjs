// Stands in for the tool by which the editor finds files: its package fetches a binary when it is installed, which the tests
// do without. Lists the files under the working folder whose names end as one of the wanted patterns (-g, not those with !)
// does after its last star; all files where there is no pattern.
import { readdirSync } from 'node:fs';
import process from 'node:process';

const words = process.argv.slice(2);
const wanted = words.filter((word, at) => words[at - 1] === '-g' && !word.startsWith('!'));
const endings = wanted.map((pattern) => pattern.slice(pattern.lastIndexOf('*') + 1));
for (const entry of readdirSync('.', { recursive: true, withFileTypes: true })) {
  const path = `${entry.parentPath ?? entry.path}/${entry.name}`;
  if (!entry.isFile() || !(endings.length === 0 || endings.some((ending) => path.endsWith(ending)))) continue;
  process.stdout.write(`${path}\n`);
}
