// Folding of a log: its header as one, and the rows of each layer.
import * as vscode from 'vscode';
import { parsedHeader } from './headerText.ts';
import { layerLines } from './layerLines.ts';
import { logSelector } from './logFile.ts';

export function registerFolding(): vscode.Disposable {
  return vscode.languages.registerFoldingRangeProvider(logSelector, {
    async provideFoldingRanges(document) {
      const parsed = await parsedHeader(document);
      if (!parsed) return [];
      const header = new vscode.FoldingRange(0, Math.max(0, parsed.namesLine - 2), vscode.FoldingRangeKind.Comment);
      const layers = (await layerLines(document)).filter(({ from, to }) => to > from);
      return [
        header,
        ...layers.map(({ from, to }) => new vscode.FoldingRange(from, to, vscode.FoldingRangeKind.Region)),
      ];
    },
  });
}
