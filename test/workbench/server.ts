// A real editor served on this machine: installs it once into .demo/, puts our packed extension in, starts and stops it.
// The version is a parameter: EDITOR_VERSION (default: the oldest we support, pinned in package.json here), and
// EDITOR_NODE names the Node binary that a newer editor asks for.
import { spawn, spawnSync } from 'node:child_process';
import type { ChildProcess } from 'node:child_process';
import { copyFileSync, cpSync, existsSync, mkdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { dirname, join, resolve } from 'node:path';

const here = resolve(import.meta.dirname);
const root = resolve(here, '../..');

export interface RunningEditor {
  /** Without a folder: add `?folder=/absolute/path`. */
  readonly address: string;
  readonly output: () => string;
  stop(): Promise<void>;
}

export interface EditorOptions {
  /** Where the editor keeps its settings and extensions; made if missing. */
  readonly dataFolder: string;
  readonly vsix: string;
  /** Folder of a further extension, as `<publisher>.<name>-<version>` once it is in place. */
  readonly further?: { readonly folder: string; readonly name: string };
  readonly settings: Readonly<Record<string, unknown>>;
  readonly port?: number | undefined;
}

const nodeBinary = process.env['EDITOR_NODE'] ?? process.execPath;

/** Installs the editor where it is not yet; answers with the folder of its server. Needs a package registry the first time. */
export function prepareEditor(): string {
  const pinned = packageVersion(join(here, 'package.json'));
  const version = process.env['EDITOR_VERSION'] ?? pinned;
  const folder = join(root, '.demo', `editor-${version}`);
  const server = join(folder, 'node_modules/code-server/lib/vscode');
  const ready = join(folder, '.ready');
  if (existsSync(ready)) return server;
  console.log(`underplate: installing the editor for the demo and the tests (code-server ${version}, once, ~300 MB)`);
  rmSync(folder, { recursive: true, force: true });
  mkdirSync(folder, { recursive: true });
  if (version === pinned) {
    copyFileSync(join(here, 'package.json'), join(folder, 'package.json'));
    copyFileSync(join(here, 'package-lock.json'), join(folder, 'package-lock.json'));
    npm(folder, ['ci']);
  } else {
    writeFileSync(
      join(folder, 'package.json'),
      JSON.stringify({ private: true, dependencies: { 'code-server': version } }),
    );
    npm(folder, ['install']);
  }
  // The package holds two more packages, which its own install script would fill; scripts stay off.
  npm(server, ['install', '--omit=dev']);
  symlinkSync('node_modules', join(server, 'node_modules.asar'));
  npm(join(server, 'extensions'), ['install', '--omit=dev']);
  writeFileSync(ready, version);
  return server;
}

/** Without it the editor finds no files for an extension that asks for them. */
function standInForFinder(server: string): void {
  const binary = join(server, 'node_modules/@vscode/ripgrep/bin/rg');
  if (existsSync(binary)) return;
  mkdirSync(dirname(binary), { recursive: true });
  const script = `#!/bin/sh\nexec '${nodeBinary}' '${join(here, 'fileFinder.mjs')}' "$@"\n`;
  writeFileSync(binary, script, { mode: 0o755 });
}

/** Starts the editor with the extension installed, on loopback only. Resolves when it answers. */
export async function startEditor(options: EditorOptions): Promise<RunningEditor> {
  const server = prepareEditor();
  standInForFinder(server);
  const main = join(server, 'out/server-main.js');
  const common = ['--accept-server-license-terms', '--server-data-dir', options.dataFolder];
  mkdirSync(join(options.dataFolder, 'data/Machine'), { recursive: true });
  writeFileSync(join(options.dataFolder, 'data/Machine/settings.json'), JSON.stringify(options.settings, undefined, 2));
  const install = spawnSync(nodeBinary, [main, ...common, '--install-extension', resolve(options.vsix), '--force'], {
    encoding: 'utf8',
  });
  if (install.status !== 0)
    throw new Error(`the extension could not be installed:\n${install.stdout}${install.stderr}`);
  if (options.further) {
    cpSync(options.further.folder, join(options.dataFolder, 'extensions', options.further.name), { recursive: true });
    rmSync(join(options.dataFolder, 'extensions/extensions.json')); // the list is made anew from the folders
  }
  const port = options.port ?? (await freePort());
  const where = ['--host', '127.0.0.1', '--port', String(port), '--without-connection-token'];
  const child = spawn(nodeBinary, [main, ...where, ...common, '--telemetry-level', 'off'], {
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  let output = '';
  for (const stream of [child.stdout, child.stderr]) stream.on('data', (chunk: Buffer) => (output += chunk.toString()));
  const address = `http://127.0.0.1:${port}/`;
  await answering(address, child, () => output);
  return { address, output: () => output, stop: () => stop(child) };
}

async function answering(address: string, child: ChildProcess, output: () => string): Promise<void> {
  for (let attempt = 0; attempt < 300; attempt++) {
    if (child.exitCode !== null) throw new Error(`the editor ended at once:\n${output()}`);
    const up = await fetch(`${address}version`).then(
      (response) => response.ok,
      () => false,
    );
    if (up) return;
    await new Promise((done) => setTimeout(done, 100));
  }
  throw new Error(`the editor does not answer at ${address}:\n${output()}`);
}

function stop(child: ChildProcess): Promise<void> {
  if (child.exitCode !== null) return Promise.resolve();
  return new Promise((done) => {
    child.once('exit', () => {
      clearTimeout(hard);
      done();
    });
    const hard = setTimeout(() => child.kill('SIGKILL'), 5000);
    child.kill('SIGTERM');
  });
}

function freePort(): Promise<number> {
  return new Promise((found, failed) => {
    const probe = createServer();
    probe.once('error', failed);
    probe.listen(0, '127.0.0.1', () => {
      const address = probe.address();
      const port = typeof address === 'object' && address !== null ? address.port : 0;
      probe.close(() => found(port));
    });
  });
}

function npm(folder: string, words: readonly string[]): void {
  const args = [...words, '--ignore-scripts', '--no-audit', '--no-fund'];
  const child = spawnSync('npm', args, { cwd: folder, stdio: 'inherit', shell: process.platform === 'win32' });
  if (child.status !== 0) throw new Error(`npm ${words.join(' ')} failed in ${folder}; see above`);
}

function packageVersion(file: string): string {
  const parsed = JSON.parse(readFileSync(file, 'utf8')) as { dependencies: { 'code-server': string } };
  return parsed.dependencies['code-server'];
}
