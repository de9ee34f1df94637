import assert from 'node:assert/strict';
import '../support/editor/load.ts';
import type * as vscode from 'vscode';
import manifest from '../../package.json' with { type: 'json' };
import { readSettings } from '../../src/cli/settings.ts';
import { desk } from '../support/editor/desk.ts';
import { Uri } from '../support/editor/standIn.ts';

const { analysisSettings } = await import('../../src/extension/settings.ts');

const uri = Uri.file('/w/a.strain.csv') as unknown as vscode.Uri;
const { properties } = manifest.contributes.configuration;

/** The same setting in the editor, on the command line, and as the analysis takes it. */
const settings = [
  ['underplate.detection.falseAlarmHours', 'false-alarm-budget', 'falseAlarmHours', 50],
  ['underplate.detection.smallestJump', 'smallest-jump', 'smallestJump', 50e-6],
] as const;

describe('the settings of the detection', () => {
  afterEach(() => desk.settings.clear());

  for (const [name, option, key, of50] of settings) {
    it(`take numbers above 0 only, in the editor as on the command line: ${option}`, () => {
      assert.equal(properties[name].exclusiveMinimum, 0);
      for (const refused of [0, -1]) {
        desk.settings.set(name, refused);
        assert.equal(analysisSettings(uri)[key], undefined, "what the log's header says");
        assert.throws(() => readSettings({ [option]: String(refused) }), /needs a number above 0/);
      }
      desk.settings.set(name, 50);
      for (const taken of [analysisSettings(uri), readSettings({ [option]: '50' })]) {
        assert.ok(Math.abs(taken[key]! / of50 - 1) < 1e-12);
      }
    });
  }

  it('take an empty list of muted kinds for an answer, in the editor as on the command line, and an unset one for none', () => {
    assert.equal(analysisSettings(uri).mute, undefined, "what the log's header says");
    assert.equal(readSettings({}).mute, undefined);
    for (const [written, list] of [
      ['', []],
      ['spike,heat', ['spike', 'heat']],
    ] as const) {
      desk.settings.set('underplate.detection.mute', list);
      assert.deepEqual(analysisSettings(uri).mute, list);
      assert.deepEqual(readSettings({ mute: [written] }).mute, list);
    }
  });
});
