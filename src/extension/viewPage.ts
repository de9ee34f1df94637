// The HTML that carries the view's page: nothing but our own script and style may load, and nothing from afar.
import * as vscode from 'vscode';
import { escapeText } from '../core/display/text/markupText.ts';

/** `uri`: the log, kept in the page so that it can put it into the state it leaves for the next start. */
export function pageOf(webview: vscode.Webview, extension: vscode.Uri, uri: vscode.Uri): string {
  const file = (name: string): string =>
    webview.asWebviewUri(vscode.Uri.joinPath(extension, 'dist', 'webview', name)).toString();
  const nonce = randomNonce();
  const policy = [
    "default-src 'none'",
    `script-src 'nonce-${nonce}'`,
    `style-src ${webview.cspSource} 'nonce-${nonce}'`,
    `img-src ${webview.cspSource} blob: data:`,
    `font-src ${webview.cspSource}`,
  ].join('; ');
  return `<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="UTF-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Plate view</title>
<link rel="stylesheet" href="${file('main.css')}">
</head>
<body>
<div id="app" data-underplate data-log="${escapeText(uri.toString())}" data-nonce="${nonce}"></div>
<script nonce="${nonce}" src="${file('main.js')}"></script>
</body>
</html>`;
}

function randomNonce(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join('');
}
