// Completion and hover in the header: keys, choices, names and units that fit; what a field means and what it was read as.
import * as vscode from 'vscode';
import type { HeaderCompletion } from '../core/header/language/completion.ts';
import { parsedHeader } from './headerText.ts';
import { logSelector } from './logFile.ts';
import { editorRange } from './places.ts';

const kinds: Readonly<Record<HeaderCompletion['kind'], vscode.CompletionItemKind>> = {
  key: vscode.CompletionItemKind.Property,
  value: vscode.CompletionItemKind.EnumMember,
  name: vscode.CompletionItemKind.Reference,
  unit: vscode.CompletionItemKind.Unit,
};

export function registerHeaderCompletion(): vscode.Disposable {
  return vscode.Disposable.from(
    vscode.languages.registerCompletionItemProvider(
      logSelector,
      { provideCompletionItems: completions },
      '{',
      ' ',
      ':',
      ',',
    ),
    vscode.languages.registerHoverProvider(logSelector, { provideHover: hover }),
  );
}

async function completions(document: vscode.TextDocument, at: vscode.Position): Promise<vscode.CompletionItem[]> {
  const parsed = await parsedHeader(document);
  if (!parsed || (parsed.namesLine > 0 && at.line >= parsed.namesLine)) return [];
  const { completionsAt } = await import('../core/header/language/completion.ts');
  return completionsAt(parsed.source, at.line + 1, at.character + 1).map((completion, index) => {
    const item = new vscode.CompletionItem(completion.label, kinds[completion.kind]);
    item.detail = completion.detail;
    item.documentation = new vscode.MarkdownString(completion.documentation);
    item.insertText = completion.newText;
    item.range = editorRange(completion.range);
    item.filterText = completion.newText;
    item.sortText = String(index).padStart(4, '0');
    return item;
  });
}

async function hover(document: vscode.TextDocument, at: vscode.Position): Promise<vscode.Hover | undefined> {
  const parsed = await parsedHeader(document);
  if (!parsed || (parsed.namesLine > 0 && at.line >= parsed.namesLine)) return undefined;
  const { hoverAt } = await import('../core/header/language/hover.ts');
  const found = hoverAt(parsed, at.line + 1, at.character + 1);
  return found && new vscode.Hover(new vscode.MarkdownString(found.markdown), editorRange(found.range));
}
