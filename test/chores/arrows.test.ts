import assert from 'node:assert/strict';
import { join } from 'node:path';
import { ESLint } from 'eslint';

const root = join(import.meta.dirname, '../..');

/** What an import says where the house forbids it: file, import, rule that tells it. */
const forbidden: readonly (readonly [string, string, string])[] = [
  ['src/core/table/rowGate.ts', "import '../change/kind.ts';", 'know none that come after them'],
  ['src/core/strain/derived.ts', "import '../pipeline/rowsInThread.ts';", 'know none that come after them'],
  ['src/core/change/plate/kind.ts', "import '../../session.ts';", 'know none that come after them'],
  ['src/core/change/cycle/unrest.ts', "import '../plate/kind.ts';", 'know none that come after them'],
  ['src/core/change/cell/span.ts', "import '../../session.ts';", 'know none that come after them'],
  ['src/core/table/rowGate.ts', "import 'node:fs';", 'core is pure'],
  ['src/core/session.ts', "import '../messages/worker.ts';", 'core is pure'],
  ['src/core/session.ts', "void import('node:fs/promises');", 'core is pure'],
  ['src/core/session.ts', "void import('../worker/pool.ts');", 'core is pure'],
  ['src/core/strain/derived.ts', "import { parse } from 'mathjs'; parse('');", 'mathjs'],
  ['src/messages/worker.ts', "import { rowHash } from '../core/notes/anchor.ts'; rowHash;", 'only types of core'],
  ['src/messages/worker.ts', "import '../worker/pool.ts';", 'no other part than core'],
  ['src/worker/fileSource.ts', "import type { App } from '../../webview/app.ts'; export type A = App;", 'no face'],
  ['src/extension/main.ts', "import 'fs';", 'also runs in a browser'],
  ['src/extension/analysis.node.ts', "import '../cli/check.ts';", 'no command'],
  ['src/cli/check/check.ts', "void import('../extension/main.ts');", 'no editor'],
  ['src/cli/simulation/columns.ts', "import '../../core/strain/principal.ts';", 'share no code'],
  ['webview/app.ts', "import '../src/core/problem.ts';", 'only core/display'],
  ['webview/map/plateTable.ts', "import '../../src/core/strain/principal.ts';", 'only core/display'],
  ['webview/app.ts', "void import('../src/core/header/language/hover.ts');", 'only core/display'],
  ['webview/app.ts', "import '@vscode/webview-ui-toolkit';", 'only webview/controls.ts'],
];

const allowed: readonly (readonly [string, string])[] = [
  ['src/core/change/plate/kind.ts', "import '../cell/slowMeans.ts'; import '../../strain/principal.ts';"],
  ['src/core/pipeline/windowSource.ts', "import '../session.ts';"],
  ['src/messages/worker.ts', "import type { Anchor } from '../core/notes/notes.ts'; export type A = Anchor;"],
  ['src/extension/analysis.node.ts', "import 'node:url';"],
  ['src/cli/check/check.ts', "void import('../worker/pool.ts');"],
  ['webview/app.ts', "import '../src/core/display/units.ts'; import './events/eventOrder.ts';"],
  ['webview/controls.ts', "import '@vscode/webview-ui-toolkit';"],
];

describe('the arrows between the parts', function () {
  this.timeout(60_000);
  const linter = new ESLint({ cwd: root, overrideConfigFile: join(root, '.config/eslint.config.mjs') });
  const said = async (file: string, code: string): Promise<string[]> => {
    const [result] = await linter.lintText(code, { filePath: join(root, file) });
    return result!.messages.filter(({ ruleId }) => ruleId?.includes('no-restricted')).map(({ message }) => message);
  };

  for (const [file, code, why] of forbidden) {
    it(`${file} may not: ${code}`, async () => {
      const messages = await said(file, code);
      assert.ok(
        messages.some((message) => message.includes(why)),
        messages.join('\n'),
      );
    });
  }

  for (const [file, code] of allowed) {
    it(`${file} may: ${code}`, async () => assert.deepEqual(await said(file, code), []));
  }
});
