// The extension's entry in Node. The bundle itself is a module in parts, loaded when they are needed; this is a plain
// script, since the editor's web host refuses every extension whose `main` is a module, even if it runs its `browser`.
import type * as vscode from 'vscode';
import type * as main from './main.ts';

/** Beside this script when bundled; a name that the bundler must not follow. */
const bundle = './main.mjs';

export async function activate(context: vscode.ExtensionContext): Promise<void> {
  const { activate: start } = (await import(bundle)) as typeof main;
  start(context);
}
