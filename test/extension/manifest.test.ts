import assert from 'node:assert/strict';
import { existsSync, readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import manifest from '../../package.json' with { type: 'json' };
import { eventKinds } from '../../src/core/change/events.ts';

const root = join(import.meta.dirname, '../..');
const { contributes } = manifest;

describe('the manifest', () => {
  it('offers a command if and only if the extension registers it', () => {
    const folder = join(root, 'src/extension');
    const sources = readdirSync(folder).filter((file) => file.endsWith('.ts'));
    const code = sources.map((file) => readFileSync(join(folder, file), 'utf8')).join('\n');
    const registered = [...code.matchAll(/(?:onLog|command|registerCommand)\(\s*'(?:underplate\.)?([\w.]+)'/g)].map(
      ([, name]) => `underplate.${name}`,
    );
    const internal = ['underplate.showEvent']; // run from event lines only
    const offered = contributes.commands.map(({ command }) => command);
    assert.deepEqual([...offered].sort(), registered.filter((name) => !internal.includes(name)).sort());
  });

  it('mutes every kind of event there is, and no other', () => {
    const kinds: string[] = Object.values(eventKinds).flat();
    const { items } = contributes.configuration.properties['underplate.detection.mute'];
    assert.deepEqual([...items.enum].sort(), kinds.sort());
    assert.equal(items.enumDescriptions.length, items.enum.length);
  });

  it('describes every setting, and the README names it', () => {
    const readme = readFileSync(join(root, 'README.md'), 'utf8');
    for (const [name, setting] of Object.entries(contributes.configuration.properties)) {
      assert.ok(setting.markdownDescription.length > 20, name);
      assert.ok(readme.includes(`\`${name.replace('underplate.detection.', '')}\``), name);
    }
  });

  it('names files that exist', () => {
    const files = JSON.stringify(manifest).match(/(?:\.\/)?(?:src|webview)\/[\w./-]+\.(?:json|svg|png|webp|md)/g) ?? [];
    assert.ok(files.length > 8);
    for (const file of files) assert.ok(existsSync(join(root, file)), file);
  });

  it('packs the pictures that the README shows, which the editor shows too', () => {
    const readme = readFileSync(join(root, 'README.md'), 'utf8');
    const packed = readFileSync(join(root, '.vscodeignore'), 'utf8').split('\n');
    const shown = [...readme.matchAll(/!\[[^\]]*\]\(([^)]+)\)/g)].map(([, picture]) => picture!);
    assert.ok(shown.length > 0);
    for (const picture of shown) {
      assert.ok(existsSync(join(root, picture)), picture);
      assert.ok(packed.includes(`!${picture}`), picture);
    }
  });

  it('offers the tools that agents can call, and no other', () => {
    const code = readFileSync(join(root, 'src/extension/agentTools.ts'), 'utf8');
    const registered = [...code.matchAll(/\btool<\w+>\(logs, '(\w+)'/g)].map(([, name]) => name);
    const offered = contributes.languageModelTools.map(({ name }) => name);
    assert.deepEqual(offered.sort(), registered.sort());
  });

  it('reads findings out of a terminal, in the forms of the command and of scripts', () => {
    const [command, script] = contributes.problemMatchers.map(({ pattern }) => new RegExp(pattern.regexp));
    const said = 'logs/a b.strain.csv:20412:1: error: Release under bracket 1: 41 µm/m [release]';
    assert.deepEqual(command?.exec(said)?.slice(1), [
      'logs/a b.strain.csv',
      '20412',
      '1',
      'error',
      'Release under bracket 1: 41 µm/m',
      'release',
    ]);
    assert.deepEqual(script?.exec('C:\\logs\\a.strain.csv:12: warning: B2 turned')?.slice(1), [
      'C:\\logs\\a.strain.csv',
      '12',
      'warning',
      'B2 turned',
    ]);
  });
});
