// Who writes a remark: the setting, else the name in git's own settings, else nobody by name.
import * as vscode from 'vscode';
import { settingsSection } from './settings.ts';

/** The part of the editor's git extension that is used here. */
interface GitExtension {
  getAPI(version: 1): {
    readonly repositories: readonly GitRepository[];
    getRepository(uri: vscode.Uri): GitRepository | null;
  };
}

interface GitRepository {
  getConfig(key: string): Promise<string>;
  getGlobalConfig(key: string): Promise<string>;
}

export async function authorOf(log: vscode.Uri): Promise<string> {
  const set = vscode.workspace.getConfiguration(settingsSection, log).get('notes.author', '').trim();
  return set === '' ? gitName(log) : set;
}

async function gitName(log: vscode.Uri): Promise<string> {
  try {
    const extension = vscode.extensions.getExtension<GitExtension>('vscode.git');
    const git = (await extension?.activate())?.getAPI(1);
    const repository = git?.getRepository(log) ?? git?.repositories[0];
    return (await repository?.getConfig('user.name')) || (await repository?.getGlobalConfig('user.name')) || '';
  } catch {
    return ''; // git is switched off, or the folder is not trusted
  }
}
