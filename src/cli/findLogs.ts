// Which logs are meant: file names, folders and glob patterns in, absolute paths out, each once, in the order asked for.
import { realpath, stat } from 'node:fs/promises';
import { join, resolve, relative, sep } from 'node:path';
import { headerEnding, logEnding } from '../core/besideLog.ts';
import { InputError, UsageError } from './command.ts';

const patternSigns = /[*?[\]{}()!]/;
const ignore = ['**/node_modules/**', '**/.git/**'];

/** @throws InputError where a name or pattern leads to no file. */
export async function findLogs(names: readonly string[], cwd: string): Promise<string[]> {
  const found = new Set<string>();
  for (const name of names) for (const path of await logsOf(name, cwd)) found.add(path);
  return [...found];
}

/**
 * For a command on one log: its path, and its name as it was given.
 * @throws UsageError where there are more or none, InputError where the name leads to no file.
 */
export async function findOneLog(
  names: readonly string[],
  cwd: string,
  asked = 'name one log',
): Promise<{ readonly name: string; readonly path: string }> {
  const [name, ...more] = names;
  if (name === undefined || more.length > 0) throw new UsageError(asked);
  const [path, ...others] = await findLogs([name], cwd);
  if (path === undefined || others.length > 0) throw new UsageError(`'${name}' stands for several logs; name one`);
  return { name, path };
}

async function logsOf(name: string, cwd: string): Promise<string[]> {
  // An empty variable in a script would else stand for the working folder.
  if (name === '') throw new InputError("'' names no log; is a variable empty?");
  const path = resolve(cwd, name);
  const info = await stat(path).catch((error: unknown) => {
    const { code = '', message } = error as NodeJS.ErrnoException;
    if (['ENOENT', 'ENOTDIR', 'EINVAL'].includes(code)) return undefined;
    throw new InputError(`'${name}' cannot be reached: ${message}`);
  });
  if (info?.isDirectory()) {
    const logs = await logsBelow(path);
    if (logs.length > 0) return logs;
    throw new InputError(`no *.strain.csv below the folder '${name}', nor a table with its '<table>${headerEnding}'`);
  }
  if (info?.isFile()) return [path];
  if (info) throw new InputError(`'${name}' is no file (a pipe or device); save the log to a file and name that`);
  if (!patternSigns.test(name)) throw new InputError(`there is no file '${name}'; check its spelling and the folder`);
  const logs = await eachOnce(await filesOf(name.split(sep).join('/'), cwd), cwd);
  if (logs.length === 0) throw new InputError(`no file matches the pattern '${name}'`);
  return logs;
}

/** Strain logs by their name, and tables by the header that stands beside them. */
async function logsBelow(folder: string): Promise<string[]> {
  const headers = await filesOf(`**/*${headerEnding}`, folder);
  const tables = headers.map((header) => header.slice(0, -headerEnding.length));
  const isFile = (path: string): Promise<boolean> =>
    stat(path).then(
      (info) => info.isFile(),
      () => false,
    );
  const there = await Promise.all(tables.map(isFile));
  const logs = [...(await filesOf(`**/*${logEnding}`, folder)), ...tables.filter((_, at) => there[at])];
  return eachOnce([...new Set(logs)], folder);
}

/**
 * Links may lead to one log by several ways, and in circles: each is kept once, by its own name below `folder` where it has
 * one there, else by the shortest. A table read by another header is another log. Sorted.
 */
async function eachOnce(paths: readonly string[], folder: string): Promise<string[]> {
  const realFolder = await realpath(folder);
  const ways = new Map<string, { readonly path: string; readonly detour: number }>();
  for (const path of [...paths].sort()) {
    const [log, header] = await Promise.all([realOf(path), realOf(`${path}${headerEnding}`)]);
    const detour = join(realFolder, relative(folder, path)) === log ? 0 : path.length;
    const key = `${log || path}\0${header}`;
    if (detour < (ways.get(key)?.detour ?? Infinity)) ways.set(key, { path, detour });
  }
  return [...ways.values()].map(({ path }) => path).sort();
}

/** Where a file lies once links are followed; '' where there is none. */
function realOf(path: string): Promise<string> {
  return realpath(path).catch(() => '');
}

async function filesOf(pattern: string, cwd: string): Promise<string[]> {
  const { glob } = await import('tinyglobby');
  return (await glob(pattern, { cwd, absolute: true, ignore })).sort();
}

/** The path as shown to people and hosts: from the working folder, forward slashes. */
export function shownPath(path: string, cwd: string): string {
  const short = relative(cwd, path);
  return (short.startsWith('..') || short === '' ? path : short).split(sep).join('/');
}
