// Notice of changes to a log on this machine. Node only.
import { watch } from 'node:fs';
import { basename, dirname } from 'node:path';

/**
 * Calls back when the file may have changed; answers with the way to stop. Some file systems and writers give no notice,
 * and a system may have no watchers left, so whoever follows a log looks at its size anyway.
 */
export function watchFile(path: string, onChange: () => void): () => void {
  const name = basename(path);
  try {
    // The folder is watched, not the file: a file that is replaced would take its watcher with it.
    const watcher = watch(dirname(path), (_, changed) => {
      if (changed === null || changed === name) onChange();
    });
    watcher.on('error', () => watcher.close());
    return () => watcher.close();
  } catch {
    return () => undefined;
  }
}
