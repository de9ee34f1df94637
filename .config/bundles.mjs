// What we ship as bundles, and how esbuild makes them. Needs nothing but Node's own modules until a bundle is made.
import { Buffer } from 'node:buffer';
import { existsSync, mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';

/** Every bundle we ship: name under dist/ and entry. */
const bundles = [
  { entries: { 'extension/start': 'src/extension/start.node.ts' }, platform: 'node', format: 'cjs', extension: '.cjs' },
  { entries: { 'extension/main.web': 'src/extension/main.ts' }, platform: 'browser', format: 'cjs', extension: '.js' },
  {
    // What these have in common stands once, in dist/chunks; what is imported when needed is loaded then, and not before.
    entries: {
      'extension/main': 'src/extension/main.ts',
      'worker/start': 'src/worker/start.ts',
      'worker/scanThread': 'src/worker/scanThread.ts',
      'cli/main': 'src/cli/main.ts',
    },
    platform: 'node',
    format: 'esm',
    extension: '.mjs',
  },
  { entries: { 'worker/start.web': 'src/worker/start.web.ts' }, platform: 'browser', format: 'iife', extension: '.js' },
  { entries: { 'webview/main': 'webview/main.ts' }, platform: 'browser', format: 'iife', extension: '.js' },
];

/** Builds the bundles that have an entry whose name holds one of `parts`; all without. Answers with the exit code. */
export async function build(parts = []) {
  const esbuild = await import('esbuild');
  const started = Date.now();
  const wanted = chosenBundles(parts);
  // Of a folder that is built in part, the rest stays.
  const old = parts.length === 0 ? [...wanted.flatMap(foldersOf), 'dist/chunks'] : wanted.flatMap(filesOf);
  for (const one of old) rmSync(one, { recursive: true, force: true });
  const results = await Promise.allSettled(wanted.map((bundle) => esbuild.build(optionsOf(bundle))));
  if (parts.length === 0) await writeSchemas(esbuild);
  const done = results.flatMap((result) => (result.status === 'fulfilled' ? [result.value.metafile.outputs] : []));
  const bytes = done.flatMap((outputs) => Object.values(outputs)).reduce((sum, output) => sum + output.bytes, 0);
  const took = `${Math.round(bytes / 1000)} kB, in ${Date.now() - started} ms`;
  console.log(`underplate: built ${done.length} of ${wanted.length} bundles, ${took}`);
  return done.length === wanted.length ? 0 : 1;
}

/** The JSON Schema by which editors check notes files, made from the schema that reading them uses. */
async function writeSchemas(esbuild) {
  const entryPoints = ['src/core/notes/notesJsonSchema.ts'];
  const { outputFiles } = await esbuild.build({ entryPoints, bundle: true, format: 'esm', write: false });
  const code = Buffer.from(outputFiles[0].contents).toString('base64');
  const { notesJsonSchema } = await import(`data:text/javascript;base64,${code}`);
  mkdirSync('dist/schema', { recursive: true });
  writeFileSync('dist/schema/notes.schema.json', JSON.stringify(notesJsonSchema()));
}

export async function watch() {
  const esbuild = await import('esbuild');
  for (const bundle of chosenBundles([])) {
    const context = await esbuild.context({ ...optionsOf(bundle), logLevel: 'info' });
    await context.watch();
  }
  await new Promise(() => {}); // until Ctrl+C
}

/** The bundles with those of their entries whose name holds one of `parts`; all without. */
function chosenBundles(parts) {
  const wanted = ([name]) => parts.length === 0 || parts.some((part) => name.includes(part));
  return bundles
    .map((bundle) => ({ ...bundle, entries: Object.fromEntries(Object.entries(bundle.entries).filter(wanted)) }))
    .filter(({ entries }) => Object.keys(entries).length > 0);
}

function foldersOf({ entries }) {
  return Object.keys(entries).map((name) => join('dist', dirname(name)));
}

function filesOf({ entries, extension }) {
  return Object.keys(entries).flatMap((name) => ['', '.map'].map((of) => join('dist', `${name}${extension}${of}`)));
}

function optionsOf({ entries, platform, format, extension }) {
  // Packages of CommonJS form call require() for Node's modules; a module file has to be given one.
  const requireForModules =
    "import { createRequire as requireFrom } from 'node:module'; const require = requireFrom(import.meta.url);";
  return {
    entryPoints: entries,
    outdir: 'dist',
    outExtension: { '.js': extension },
    platform,
    format,
    splitting: format === 'esm',
    chunkNames: 'chunks/[name]-[hash]',
    bundle: true,
    minify: true,
    sourcemap: process.env.UNDERPLATE_MAPS ? 'linked' : false,
    metafile: true,
    target: platform === 'node' ? 'node20' : 'es2022',
    external: ['vscode'],
    banner: format === 'esm' ? { js: requireForModules } : {},
    loader: { '.svg': 'text' },
    plugins: platform === 'browser' ? [webTwins] : [],
    logLevel: 'warning',
  };
}

/** In a browser bundle `name.web.ts`, where there is one, takes the place of its twin `name.node.ts` or `name.ts`. */
const webTwins = {
  name: 'web-twins',
  setup(plugin) {
    plugin.onResolve({ filter: /^\.{1,2}\/.*\.ts$/ }, ({ path, resolveDir }) => {
      const twin = resolve(resolveDir, path.replace(/(\.node)?\.ts$/, '.web.ts'));
      return existsSync(twin) ? { path: twin } : undefined;
    });
  },
};
