// The one build script: bundles, packages, tests and shows Underplate. `node build.mjs` lists its tasks.
// It sets itself up: where node_modules does not fit the lock file, `npm ci` runs first, so until then it needs
// nothing but Node's own modules.
import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync, rmSync, statSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build, watch } from './.config/bundles.mjs';

const root = dirname(fileURLToPath(import.meta.url));
const vsix = 'dist/underplate.vsix';
const workbenchTests = 'test/workbench/*.test.ts';

const tasks = {
  build: ['bundle everything into dist/', (parts) => build(parts)],
  watch: ['bundle again at every change', () => watch()],
  package: [`build, then pack ${vsix}`, (parts) => pack(parts)],
  demo: ['build, check a sample log, then serve a real editor with the extension in it', (args) => demo(args)],
  test: ['everything: types, lint, format, unit and external tests, tests in a real editor', () => testAll()],
  'test:unit': ['unit and external tests (arguments go to mocha)', (args) => only([unit(args)])],
  'test:workbench': ['tests in a real editor (arguments go to mocha)', (args) => only([workbench(args)])],
  types: ['type check of core, page and the rest', () => only(typeChecks())],
  lint: ['ESLint', () => only([lint()])],
  format: ['rewrite the files in the house format', () => run('prettier', ['--write', '.'])],
  checks: ['the external checks with their table', () => only([unit(['--no-config', 'test/external/**/*.test.ts'])])],
  bench: ['measure (arguments go to the bench)', (args) => script('test/bench/main.ts', args)],
  'bench:view': [
    'frame times of the view beside others (number of rows)',
    (args) => script('test/bench/view/run.ts', args),
  ],
  'bench:open': [
    'opening a log in a real editor (megabytes)',
    (args) => packedScript('test/bench/workbench/run.ts', args),
  ],
  'bench:detection': [
    'detection on simulated builds beside four textbook methods',
    (args) => script('test/bench/detection/run.ts', args),
  ],
  samples: ['write sample-logs anew from their scenarios', (args) => script('test/support/writeSampleLogs.ts', args)],
  pictures: [
    'take the README pictures from the real editor',
    (args) => packedScript('test/workbench/pictures.ts', args),
  ],
};

// --- Setting up

/** Runs `npm ci` where what is installed differs from the lock file. npm notes what it installed in a lock of its own. */
function setUp() {
  const wanted = readJson('package-lock.json').packages;
  const installed = existsSync('node_modules/.package-lock.json')
    ? readJson('node_modules/.package-lock.json').packages
    : {};
  const fits = Object.entries(wanted).every(
    ([path, entry]) => path === '' || entry.optional || installed[path]?.version === entry.version,
  );
  if (fits) return;
  say('installing dependencies (npm ci)');
  const npm = spawnSync('npm', ['ci', '--no-audit', '--no-fund'], {
    stdio: 'inherit',
    shell: process.platform === 'win32',
  });
  if (npm.status === 0) return;
  say('npm ci failed; see above. It needs a package registry within reach.');
  process.exit(1);
}

// --- Packing

async function pack(parts = []) {
  const built = await build(parts);
  if (built !== 0) return built;
  const options = ['--no-dependencies', '--allow-missing-repository', '--no-rewrite-relative-links'];
  const status = run('vsce', ['package', ...options, '--out', vsix]);
  if (status === 0) say(`packed ${vsix}, ${Math.round(statSync(vsix).size / 1000)} kB`);
  return status;
}

// --- Tests: each suite answers with its numbers; one line sums them up

async function testAll() {
  const suites = [...typeChecks(), lint(), formatCheck(), unit([]), workbench([])];
  return only(suites);
}

function typeChecks() {
  return ['src/core', 'webview', 'test/webview', '.'].map((part) =>
    single(`types ${part}`, () => run('tsc', ['-p', part])),
  );
}

function lint() {
  return single('lint', () =>
    run('eslint', ['-c', '.config/eslint.config.mjs', '--cache', '--cache-location', '.demo/eslint', '.']),
  );
}

function formatCheck() {
  return single('format', () =>
    run('prettier', ['--check', '--log-level', 'warn', '--cache', '--cache-location', '.demo/prettier', '.']),
  );
}

function unit(args) {
  return { title: 'unit and external tests', run: () => mocha(args) };
}

function workbench(args) {
  return {
    title: 'tests in a real editor',
    run: async () => {
      if ((await pack()) !== 0) return { passed: 0, failed: 1 };
      const specs = args.some((arg) => arg.endsWith('.ts')) ? [] : [workbenchTests];
      return mocha(['--no-config', '--timeout', '240000', '--require', './test/workbench/setup.ts', ...specs, ...args]);
    },
  };
}

/** A suite of one check: passed where the command ends with 0. */
function single(title, command) {
  return { title, run: () => (command() === 0 ? { passed: 1, failed: 0 } : { passed: 0, failed: 1 }) };
}

/** Runs mocha and reads the numbers its reporter leaves behind; none there means that it crashed: a failure. */
function mocha(args) {
  const counts = resolve('.demo/mocha-counts.json');
  mkdirSync(dirname(counts), { recursive: true });
  rmSync(counts, { force: true });
  const reporter = ['--import=tsx', '--reporter', './test/support/countingReporter.mjs'];
  const status = run('mocha', [...reporter, ...args], { UNDERPLATE_COUNTS: counts });
  const { passed, failed } = existsSync(counts) ? readJson(counts) : { passed: 0, failed: 0 };
  return { passed, failed: status !== 0 && failed === 0 ? 1 : failed };
}

async function only(suites) {
  const sum = { passed: 0, failed: 0 };
  const broken = [];
  for (const { title, run: runSuite } of suites) {
    say(title);
    const started = Date.now();
    const { passed, failed } = await runSuite();
    sum.passed += passed;
    sum.failed += failed;
    if (failed > 0) broken.push(title);
    say(`${title}: ${passed} passed, ${failed} failed (${((Date.now() - started) / 1000).toFixed(1)} s)`);
  }
  if (broken.length > 0) say(`not passed: ${broken.join('; ')}`);
  console.log(`${sum.passed} passed, ${sum.failed} failed`);
  return sum.failed > 0 ? 1 : 0;
}

// --- Showing

async function demo(args) {
  const packed = await pack();
  if (packed !== 0) return packed;
  const sample = 'sample-logs/release.strain.csv';
  say(`underplate check ${sample}`);
  spawnSync(process.execPath, ['dist/cli/main.mjs', 'check', sample], { stdio: 'inherit' });
  return script('test/workbench/demo.ts', args);
}

async function packedScript(file, args) {
  const packed = await pack();
  return packed !== 0 ? packed : script(file, args);
}

// --- Running things

/** Runs a tool from node_modules; answers with its exit code. */
function run(tool, toolArgs, env = {}) {
  const folder = join('node_modules', { tsc: 'typescript', vsce: '@vscode/vsce' }[tool] ?? tool);
  const { bin } = readJson(join(folder, 'package.json'));
  const file = join(folder, typeof bin === 'string' ? bin : bin[tool]);
  const options = { stdio: 'inherit', env: { ...process.env, ...env } };
  return spawnSync(process.execPath, [file, ...toolArgs], options).status ?? 1;
}

/** Runs a TypeScript file of ours. */
function script(file, scriptArgs) {
  return spawnSync(process.execPath, ['--import', 'tsx', file, ...scriptArgs], { stdio: 'inherit' }).status ?? 1;
}

function readJson(file) {
  return JSON.parse(readFileSync(file, 'utf8'));
}

function say(text) {
  console.log(`underplate: ${text}`);
}

const [name = '', ...args] = process.argv.slice(2);
process.chdir(root);
if (name in tasks) {
  setUp();
  process.exitCode = (await tasks[name][1](args)) ?? 0;
} else {
  console.log('usage: node build.mjs TASK [arguments]\n');
  for (const [task, [summary]] of Object.entries(tasks)) console.log(`  ${task.padEnd(15)} ${summary}`);
  process.exitCode = name === '' || name === '--help' ? 0 : 2;
}
