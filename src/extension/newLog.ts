// A new log to fill in: a header with one cell of three gratings, as an untitled document. Header checks, completion and
// hovers work in it at once.
import * as vscode from 'vscode';
import { languageId } from './logFile.ts';

const template = `# %ECSV 1.0
# ---
# delimiter: ','
# datatype:
# - {name: time, unit: s, datatype: float64}
# - {name: layer, datatype: int32}
# - {name: A1_T, unit: deg_C, datatype: float64}
# - {name: A1_0, unit: nm, datatype: float64}
# - {name: A1_45, unit: nm, datatype: float64}
# - {name: A1_90, unit: nm, datatype: float64}
# meta:
#   strain_log: 1
#   build: {name: my build, layer_height: 40 um}
#   plate: {size: [250 mm, 250 mm], thickness: 30 mm, material: Al 6061-T6}
#   cells: {A1: {at: [125 mm, 125 mm]}}
#   channel_defaults: {bragg: {strain_gain: 0.78, thermal_gain: 6.5e-6 1/K}}
#   channels:
#     A1_T: {cell: A1, kind: temperature}
#     A1_0: {cell: A1, kind: bragg, direction: 0 deg, rest: 1550.0 nm}
#     A1_45: {cell: A1, kind: bragg, direction: 45 deg, rest: 1552.0 nm}
#     A1_90: {cell: A1, kind: bragg, direction: 90 deg, rest: 1554.0 nm}
#   datum: {from: 0 s, to: 60 s}
# schema: astropy-2.0
time,layer,A1_T,A1_0,A1_45,A1_90
`;

export async function newLog(): Promise<void> {
  const document = await vscode.workspace.openTextDocument({ language: languageId, content: template });
  await vscode.window.showTextDocument(document);
}
