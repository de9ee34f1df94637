// The view's page in a plain Chromium, without an editor: bundles page and fake editor, serves them under the same
// content policy as the extension does, and opens them with a theme. CHROMIUM_PATH names the browser.
import { createServer, type Server } from 'node:http';
import { existsSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import type { AddressInfo } from 'node:net';
import { join } from 'node:path';
import { build } from 'esbuild';
import { chromium, type Browser, type Page } from 'playwright-core';
import { bodyClass, themeVariables, type ThemeName } from './editorThemes.ts';

export interface OpenOptions {
  /** File name in sample-logs, or a name given to `addLog`; left out: no log is ever announced. */
  readonly log?: string;
  readonly theme?: ThemeName;
  readonly width?: number;
  readonly height?: number;
  readonly reducedMotion?: boolean;
}

export interface ViewHarness {
  open(options: OpenOptions): Promise<Page>;
  /** Serves a log made by a test. */
  addLog(name: string, text: string): void;
  close(): Promise<void>;
}

const candidates = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'];
const flags =
  '--no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking --disable-component-update --disable-sync';

export async function startHarness(): Promise<ViewHarness> {
  const files = await bundles();
  const logs = new Map<string, string>();
  const server = createServer((request, response) => {
    void answer(request.url ?? '/', files, logs).then(({ type, body }) => {
      response.writeHead(body === undefined ? 404 : 200, { 'content-type': type });
      response.end(body);
    });
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const browser = await chromium.launch({ executablePath: browserPath(), args: flags.split(' ') });
  const { port } = server.address() as AddressInfo;
  return {
    open: (options) => openPage(browser, port, options),
    addLog: (name, text) => logs.set(name, text),
    close: () => close(browser, server),
  };
}

function browserPath(): string {
  const path = process.env['CHROMIUM_PATH'] ?? candidates.find((one) => existsSync(one));
  if (!path) throw new Error('no Chromium found; set CHROMIUM_PATH to its executable');
  return path;
}

async function bundles(): Promise<Map<string, string>> {
  const built = await build({
    entryPoints: { main: 'webview/main.ts', editor: 'test/webview/harness/fakeEditor.ts' },
    bundle: true,
    write: false,
    outdir: '/',
    format: 'iife',
    target: 'es2022',
    logLevel: 'warning',
  });
  return new Map(built.outputFiles.map(({ path, text }) => [path, text]));
}

interface Answer {
  readonly type: string;
  readonly body: string | Buffer | undefined;
}

async function answer(url: string, files: Map<string, string>, logs: Map<string, string>): Promise<Answer> {
  const { pathname, searchParams } = new URL(url, 'http://127.0.0.1');
  if (pathname === '/') return { type: 'text/html; charset=utf-8', body: pageText(searchParams) };
  if (pathname.startsWith('/logs/')) {
    const name = decodeURIComponent(pathname.slice('/logs/'.length));
    const path = join('sample-logs', name);
    const body = logs.get(name) ?? (existsSync(path) ? await readFile(path) : undefined);
    return { type: 'text/plain; charset=utf-8', body };
  }
  const type = pathname.endsWith('.css') ? 'text/css' : 'text/javascript';
  return { type: `${type}; charset=utf-8`, body: files.get(pathname) };
}

/** As the extension's page, plus the fake editor and its variables in a style element of the editor's. */
function pageText(query: URLSearchParams): string {
  const theme = (query.get('theme') ?? 'dark') as ThemeName;
  const variables = Object.entries(themeVariables(theme)).map(([name, value]) => `${name}:${value}`);
  const policy = [
    "default-src 'none'",
    "script-src 'nonce-abc'",
    "style-src 'self' 'nonce-abc'",
    'img-src blob: data:',
    "connect-src 'self'",
  ].join('; ');
  const motion = query.get('motion') === 'reduce' ? ' vscode-reduce-motion' : '';
  return `<!DOCTYPE html>
<html lang="en"><head><meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Plate view</title>
<style nonce="abc">html{${variables.join(';')}}</style>
<link rel="stylesheet" href="/main.css">
</head><body class="${bodyClass(theme)}${motion}">
<div id="app" data-underplate data-log="file:///logs/${query.get('log') ?? ''}" data-nonce="abc"></div>
<script nonce="abc" src="/editor.js"></script>
<script nonce="abc" src="/main.js"></script>
</body></html>`;
}

async function openPage(browser: Browser, port: number, options: OpenOptions): Promise<Page> {
  const { theme = 'dark', width = 900, height = 1000, log, reducedMotion } = options;
  const context = await browser.newContext({ viewport: { width, height } });
  const page = await context.newPage();
  const query = new URLSearchParams({ theme, ...(log ? { log } : {}), ...(reducedMotion ? { motion: 'reduce' } : {}) });
  await page.goto(`http://127.0.0.1:${port}/?${query.toString()}`);
  const settled = (): boolean =>
    /read to the end|not analysed/.test(document.querySelector('.state')?.textContent ?? '');
  if (log) await page.waitForFunction(settled);
  return page;
}

async function close(browser: Browser, server: Server): Promise<void> {
  await browser.close();
  await new Promise((resolve) => server.close(resolve));
}
