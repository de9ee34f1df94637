// Frame times of the view: 64 cells of 3 channels, a million rows each, beside uPlot fed with every row and a general
// plotting library. In a headless Chromium (CHROMIUM_PATH names it) without a graphics card; compare within a run only.
// `npm run bench:view [-- ROWS]`. A contender that fails (out of memory, or longer than five minutes) is told as such.
import { existsSync } from 'node:fs';
import { mkdir, writeFile } from 'node:fs/promises';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { build } from 'esbuild';
import { chromium, type Browser } from 'playwright-core';
import { plotHeightPx, plotWidthPx } from './plate.ts';

interface Figures {
  readonly name: string;
  readonly rows: number;
  readonly prepareMs?: number;
  readonly firstMs?: number;
  readonly zoomMs?: readonly number[];
  readonly heapMb?: number;
  readonly failure?: string;
}

const contenders = [
  { name: 'Underplate, exact', script: 'underplate', query: '' },
  { name: 'Underplate, while moving', script: 'underplate', query: '&quick=yes' },
  { name: 'uPlot 1.6 with every row', script: 'rawUplot', query: '' },
  { name: 'ECharts 6.1 with every row', script: 'echartsPage', query: '' },
];
const patienceMs = 300_000;
const peerInstalled = existsSync('test/bench/node_modules/echarts');

function browserPath(): string {
  const found = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'].find((one) =>
    existsSync(one),
  );
  const path = process.env['CHROMIUM_PATH'] ?? found;
  if (!path) throw new Error('no Chromium found; set CHROMIUM_PATH to its executable');
  return path;
}

async function serve(): Promise<{ port: number; close: () => void }> {
  const names = contenders.map(({ script }) => script).filter((name) => name !== 'echartsPage' || peerInstalled);
  const entryPoints = [...new Set(names)].map((name) => `test/bench/view/${name}.ts`);
  const options = { bundle: true, write: false, outdir: '/', format: 'iife', minify: true } as const;
  const built = await build({ entryPoints, ...options, logLevel: 'warning' });
  const scripts = new Map(built.outputFiles.map(({ path, text }) => [path, text]));
  const style = `body{margin:0}.host{width:${plotWidthPx}px;height:${plotHeightPx}px;float:left}.u-legend{display:none}`;
  const server = createServer((request, response) => {
    const { pathname, searchParams } = new URL(request.url ?? '/', 'http://127.0.0.1');
    const page = `<!DOCTYPE html><style>${style}</style><body><script src="/${searchParams.get('script')}.js"></script>`;
    response.writeHead(200, { 'content-type': pathname === '/' ? 'text/html' : 'text/javascript' });
    response.end(pathname === '/' ? page : scripts.get(pathname));
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  return { port: (server.address() as AddressInfo).port, close: () => server.close() };
}

async function measure(browser: Browser, address: string, name: string, rows: number): Promise<Figures> {
  const page = await browser.newPage({ viewport: { width: 1220, height: 700 } });
  page.setDefaultTimeout(patienceMs);
  try {
    await page.goto(address);
    const run = async (): Promise<Figures> => {
      const prepareMs = await page.evaluate((count) => window.contender.prepare(count), rows);
      const end = (rows - 1) / 10;
      const firstMs = await page.evaluate((to) => window.timeDraw(0, to), end);
      const zoomMs: number[] = [];
      for (let k = 0; k < 15; k++) {
        // Ever narrower windows about different places, then out again.
        const width = end / 2 ** (k < 8 ? k : 15 - k);
        const from = (end - width) * ((k * 0.381966) % 1);
        zoomMs.push(await page.evaluate(([a, b]) => window.timeDraw(a, b), [from, from + width] as const));
      }
      const heapMb = await page.evaluate(
        () => (performance as unknown as { memory?: { usedJSHeapSize: number } }).memory!.usedJSHeapSize / 1e6,
      );
      return { name, rows, prepareMs, firstMs, zoomMs, heapMb };
    };
    const late = new Promise<never>((_, reject) =>
      setTimeout(() => reject(new Error('longer than five minutes')), patienceMs).unref(),
    );
    return await Promise.race([run(), late]);
  } catch (error) {
    return { name, rows, failure: (error instanceof Error ? error.message : String(error)).split('\n')[0]! };
  } finally {
    await page.close().catch(() => undefined);
  }
}

function at(sorted: readonly number[], share: number): number {
  return sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * share))] ?? NaN;
}

function report(figures: readonly Figures[]): void {
  console.log('| 64 cells x 3 channels | rows each | first draw ms | zoom p50 ms | zoom p95 ms | made ready ms |');
  console.log('| --- | --- | --- | --- | --- | --- |');
  for (const { name, rows, prepareMs = 0, firstMs = NaN, zoomMs = [], failure } of figures) {
    const sorted = [...zoomMs].sort((a, b) => a - b);
    const numbers = [firstMs, at(sorted, 0.5), at(sorted, 0.95), prepareMs].map((value) => value.toFixed(0));
    console.log(`| ${name} | ${rows} | ${failure ?? numbers.join(' | ')} |`);
  }
}

const rows = Number(process.argv[2] ?? 1_000_000);
const { port, close } = await serve();
const figures: Figures[] = [];
for (const { name, script, query } of contenders) {
  if (script === 'echartsPage' && !peerInstalled) {
    figures.push({ name, rows, failure: 'not installed: npm ci --prefix test/bench' });
    continue;
  }
  // A browser of its own for each, so that none starts with another's memory.
  const args = ['--no-sandbox', '--disable-gpu', '--no-first-run', '--enable-precise-memory-info'];
  const browser = await chromium.launch({ executablePath: browserPath(), args });
  figures.push(await measure(browser, `http://127.0.0.1:${port}/?script=${script}${query}`, name, rows));
  await browser.close().catch(() => undefined);
}
close();
report(figures);
await mkdir('.bench', { recursive: true });
await writeFile('.bench/view.json', `${JSON.stringify(figures, undefined, 2)}\n`);
