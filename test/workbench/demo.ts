// Shows Underplate: serves the editor with the extension in it on a copy of the sample logs, prints the address, and goes
// on until it is stopped. Options: --port N, --folder PATH, --stop-at-once (for a test of the demo itself).
import { cpSync, existsSync, mkdirSync, rmSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { parseArgs } from 'node:util';
import { root } from './desk.ts';
import { startEditor } from './server.ts';

const { values } = parseArgs({
  options: { port: { type: 'string' }, folder: { type: 'string' }, 'stop-at-once': { type: 'boolean' } },
});

const folder = values.folder === undefined ? samples() : resolve(values.folder);
if (!existsSync(folder)) throw new Error(`--folder: '${folder}' does not exist`);

const editor = await startEditor({
  dataFolder: join(root, '.demo/data'),
  vsix: join(root, 'dist/underplate.vsix'),
  port: values.port === undefined ? undefined : Number(values.port),
  settings: {
    'workbench.startupEditor': 'none',
    'security.workspace.trust.enabled': false,
    'workbench.editorLargeFileConfirmation': 1024,
    'telemetry.telemetryLevel': 'off',
  },
});

console.log(`
underplate: the editor is up, with the extension and the sample logs, at

    ${editor.address}?folder=${encodeURIComponent(folder)}

Open release.strain.csv, then press the button with the layers at the top right of its text, or run
'Underplate: Open Plate View'. Only this machine can reach the address. Ctrl+C stops it.`);

if (values['stop-at-once']) await editor.stop();
else {
  for (const signal of ['SIGINT', 'SIGTERM'] as const) {
    process.once(signal, () => void editor.stop().then(() => process.exit(0)));
  }
}

/** A copy, so that notes and changes made in the demo do not land in the repository. */
function samples(): string {
  const copy = join(root, '.demo/samples');
  rmSync(copy, { recursive: true, force: true });
  mkdirSync(copy, { recursive: true });
  cpSync(join(root, 'sample-logs'), copy, { recursive: true });
  return copy;
}
