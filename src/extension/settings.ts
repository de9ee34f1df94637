// The user's settings (`underplate.*`), as the analysis wants them: SI units, undefined where the log's header decides.
import * as vscode from 'vscode';
import { microstrain } from '../core/display/units.ts';
import type { AnalysisSettings } from '../core/pipeline/settings.ts';

export const settingsSection = 'underplate';
export const followingSetting = 'followGrowingLogs';

export function analysisSettings(uri: vscode.Uri): AnalysisSettings {
  const settings = vscode.workspace.getConfiguration(settingsSection, uri);
  const hours = settings.get<number | null>('detection.falseAlarmHours', null);
  const jump = positive(settings.get<number | null>('detection.smallestJump', null));
  return {
    falseAlarmHours: positive(hours),
    smallestJump: jump === undefined ? undefined : jump / microstrain.scale,
    mute: isSet(settings, 'detection.mute') ? settings.get<string[]>('detection.mute') : undefined,
  };
}

/** Whether somebody set it, be it to what holds by default: an empty list is an answer, a default is none. */
function isSet(settings: vscode.WorkspaceConfiguration, name: string): boolean {
  const places = Object.entries(settings.inspect(name) ?? {});
  return places.some(([place, value]) => /^(global|workspace).*Value$/.test(place) && value !== undefined);
}

/** Whether a log's view opens with its text. */
export function opensView(uri: vscode.Uri): boolean {
  return vscode.workspace.getConfiguration(settingsSection, uri).get('view.openWithLog', false);
}

/** Whether a log that grows while it is open is followed without being asked. */
export function followsGrowth(uri: vscode.Uri): boolean {
  return vscode.workspace.getConfiguration(settingsSection, uri).get(followingSetting, true);
}

function positive(value: number | null): number | undefined {
  return value !== null && value > 0 ? value : undefined;
}
