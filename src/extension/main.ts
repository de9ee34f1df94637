import * as vscode from 'vscode';
export function activate(): void {
  void vscode.window.showInformationMessage('hello');
}
