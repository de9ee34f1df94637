// A log in a folder of its own, and beside it the folder of its index; opened through the file system, its bytes counted.
import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { openFile } from '../../src/worker/fileSource.ts';
import type { FileSource } from '../../src/worker/fileSource.ts';
import { indexStore } from '../../src/worker/indexFile.ts';
import { LogAnalysis } from '../../src/worker/logAnalysis.ts';
import { nodePlatform } from '../../src/worker/nodePlatform.ts';
import { sampleScenario, simulateBuild } from '../support/simulatedBuild.ts';

export const text = simulateBuild(sampleScenario('release')).text;
export const never = new AbortController().signal;

export interface OpenedLog {
  readonly analysis: LogAnalysis;
  readonly source: FileSource & { readonly bytesRead: number };
}

/** Made anew for each test of the `describe` that it is called in. */
export class LogFolder {
  folder = '';

  constructor() {
    beforeEach(() => (this.folder = mkdtempSync(join(tmpdir(), 'underplate-'))));
    afterEach(() => rmSync(this.folder, { recursive: true, force: true }));
  }

  get path(): string {
    return join(this.folder, 'a.strain.csv');
  }

  get indexFolder(): string {
    return join(this.folder, 'storage');
  }

  get indexFile(): string {
    return join(
      this.indexFolder,
      readdirSync(this.indexFolder).find((name) => name.endsWith('.underplate-index'))!,
    );
  }

  /** Read to its end. */
  async open({ anew = false } = {}): Promise<OpenedLog> {
    const source = await this.#counted();
    const analysis = new LogAnalysis(nodePlatform(source, indexStore(source, this.indexFolder)), {
      name: 'a.strain.csv',
      settings: {},
      anew,
    });
    await analysis.run(never);
    return { analysis, source };
  }

  async #counted(): Promise<FileSource & { bytesRead: number }> {
    const file = await openFile(this.path);
    const source = {
      ...file,
      bytesRead: 0,
      read: async (offset: number, length: number) => {
        const bytes = await file.read(offset, length);
        source.bytesRead += bytes.length;
        return bytes;
      },
    };
    return source;
  }
}
