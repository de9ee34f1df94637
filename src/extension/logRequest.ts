// What an analysis is asked with, and a log's bytes by way of the editor, for files that a worker cannot reach itself.
import * as vscode from 'vscode';
import { headerEnding, unreadableHeader } from '../core/besideLog.ts';
import type { AnalysisSettings } from '../core/pipeline/settings.ts';
import type { ByteSource } from '../core/table/byteSource.ts';
import type { OpenRequest } from '../messages/worker.ts';
import { beside, fileName } from './logFile.ts';

export interface LogRequest {
  readonly uri: vscode.Uri;
  readonly context: vscode.ExtensionContext;
  readonly settings: AnalysisSettings;
  /** Reads every row again, whatever is kept of an earlier reading. */
  readonly anew: boolean;
}

type Read = (file: vscode.Uri) => Thenable<Uint8Array>;

/** `path` and `indexFolder`: '' where the worker has no file system. */
export async function openRequest(
  { uri, settings, anew }: LogRequest,
  path: string,
  indexFolder: string,
  read: Read = (file) => vscode.workspace.fs.readFile(file),
): Promise<OpenRequest> {
  return { name: fileName(uri), path, indexFolder, anew, settings, companion: await companionOf(uri, read) };
}

/** The header beside a foreign table. @throws Error, in words for the user, where it is there and cannot be read. */
async function companionOf(log: vscode.Uri, read: Read): Promise<OpenRequest['companion']> {
  const uri = beside(log, headerEnding);
  try {
    const bytes = await read(uri);
    return { text: new TextDecoder().decode(bytes), name: fileName(uri) };
  } catch (error) {
    const there = await vscode.workspace.fs.stat(uri).then(
      () => true,
      () => false, // most logs have none
    );
    if (!there) return undefined;
    throw unreadableHeader(fileName(uri), error);
  }
}

/** The editor reads files whole; the bytes are kept until the size is asked for and another file stands there, by size or time. */
export function workspaceSource(uri: vscode.Uri): ByteSource {
  let kept: { readonly bytes: Uint8Array; readonly of: vscode.FileStat } | undefined;
  const look = async (): Promise<vscode.FileStat> => {
    const now = await vscode.workspace.fs.stat(uri);
    if (kept && (kept.of.size !== now.size || kept.of.mtime !== now.mtime)) kept = undefined;
    return now;
  };
  return {
    size: async () => (await look()).size,
    async read(offset, length) {
      if (!kept || offset + length > kept.bytes.length) {
        // Asked before the bytes: a file that changes while they are read is found to be another at the next look.
        const of = await look();
        kept ??= { bytes: await vscode.workspace.fs.readFile(uri), of };
      }
      // A copy of its own: a slice of the whole would be sent with the whole under it.
      return kept.bytes.slice(offset, offset + length);
    },
  };
}
