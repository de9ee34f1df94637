// Lint rules of the whole tree. The import rules are the house's arrows: each part names what it may not reach.
import { readdirSync } from 'node:fs';
import { builtinModules } from 'node:module';
import js from '@eslint/js';
import tseslint from 'typescript-eslint';

const nodeModules = builtinModules.flatMap((name) => (name.startsWith('node:') ? [name] : [name, `node:${name}`]));

/**
 * The rules that hold a part to its arrows. Each group forbids `folders` and `files` of ours, and `packages`,
 * for a reason. Later entries take the place of earlier ones, so each names all that its files may not reach.
 */
function forbid(...groups) {
  const paths = groups.flatMap(({ reason, packages = [] }) => packages.map((name) => ({ name, message: reason })));
  const patterns = groups.map(({ reason, folders = [], files = [] }) => ({
    group: [...folders.map((name) => `**/${name}/**`), ...files.map((name) => `**/${name}`)],
    message: reason,
  }));
  return {
    'no-restricted-imports': ['error', { paths, patterns }],
    'no-restricted-syntax': ['error', ...groups.map(whenNeeded)],
  };
}

/** What is forbidden at the head of a file is so in an `import()` within it. */
function whenNeeded({ reason, folders = [], files = [], packages = [] }) {
  const named = [`\\/(${folders.join('|')})\\/`, `\\/(${files.join('|')})$`, `^(${packages.join('|')})$`];
  const source = named
    .filter((one) => !one.includes('()'))
    .join('|')
    .replaceAll(/(?<!\\)\//g, '\\/');
  return { selector: `ImportExpression[source.value=/${source}/]`, message: reason };
}

const faces = ['extension', 'cli', 'webview'];
const pure = {
  reason: 'core is pure: no vscode, no Node, no other part of ours',
  folders: [...faces, 'messages', 'worker'],
  packages: ['vscode', ...nodeModules],
};

const stepsKnowNoLater = 'steps of core know none that come after them, nor what is made of all of them';

/** Steps of core, each with the steps that come after it; what is made of all of them knows each, and none knows it. */
const stepsAfter = {
  header: ['strain'],
  table: ['strain', 'change'],
  strain: ['change'],
  change: [],
  display: [],
};
/** The steps within the detection, in order: none knows one that comes after it. */
const changeSteps = ['noise', 'readings', 'cycle', 'blocks', 'confirm', 'cell', 'plate'];
const madeOfSteps = ['compare', 'notes', 'contract', 'pipeline'];

/** Parts of core that the page does not know, as below `src`. */
const undrawn = readdirSync(new URL('../src/core', import.meta.url))
  .filter((name) => /^\w+(\.ts)?$/.test(name) && name !== 'display')
  .map((name) => `core/${name}`);

/** Packages that few files may know. */
const keptApart = [
  {
    name: '@vscode/webview-ui-toolkit',
    message: 'the toolkit is no longer developed: only webview/controls.ts knows it',
  },
  {
    name: 'mathjs',
    allowTypeImports: true,
    message: 'mathjs as usually assembled takes too long to set up: take it from unitLibrary.ts or expressionSyntax.ts',
  },
];

export default tseslint.config(
  { ignores: ['dist/', 'node_modules/', '.demo/', '.bench/', 'test/bench/node_modules/', 'test/workbench/server/'] },
  js.configs.recommended,
  ...tseslint.configs.strict,
  {
    files: ['**/*.ts'],
    rules: {
      '@typescript-eslint/no-explicit-any': 'error',
      '@typescript-eslint/no-non-null-assertion': 'off', // typed-array kernels index within checked bounds
      '@typescript-eslint/consistent-type-imports': 'error',
      eqeqeq: 'error',
      'no-console': 'error',
    },
  },
  { files: ['test/**/*.ts', 'src/cli/**/*.ts'], rules: { 'no-console': 'off' } },
  { files: ['**/*.mjs'], languageOptions: { globals: { console: 'readonly', process: 'readonly', URL: 'readonly' } } },
  {
    files: ['src/**/*.ts', 'webview/**/*.ts'],
    ignores: ['webview/controls.ts', 'src/core/header/units/unitLibrary.ts', 'src/core/strain/expressionSyntax.ts'],
    rules: { '@typescript-eslint/no-restricted-imports': ['error', { paths: keptApart }] },
  },
  { files: ['src/core/**/*.ts'], rules: forbid(pure) },
  ...Object.entries(stepsAfter).map(([step, later]) => ({
    files: [`src/core/${step}/**/*.ts`],
    rules: forbid(pure, {
      reason: stepsKnowNoLater,
      folders: [...later, ...madeOfSteps],
      files: ['session.ts'],
    }),
  })),
  ...changeSteps.map((step, at) => ({
    files: [`src/core/change/${step}/**/*.ts`],
    rules: forbid(
      pure,
      { reason: stepsKnowNoLater, folders: [...stepsAfter.change, ...madeOfSteps], files: ['session.ts'] },
      ...changeSteps.slice(at + 1, at + 2).map(() => ({
        reason: 'steps of the detection know none that come after them',
        folders: changeSteps.slice(at + 1),
      })),
    ),
  })),
  {
    files: ['src/messages/**/*.ts'],
    rules: {
      ...forbid({
        reason: 'messages know no platform and no other part than core',
        folders: [...faces, 'worker'],
        packages: ['vscode', ...nodeModules],
      }),
      '@typescript-eslint/no-restricted-imports': [
        'error',
        {
          paths: keptApart,
          patterns: [{ group: ['**/core/**'], allowTypeImports: true, message: 'messages know only types of core' }],
        },
      ],
    },
  },
  {
    files: ['src/worker/**/*.ts'],
    rules: forbid({ reason: 'a worker knows no face', folders: faces, packages: ['vscode'] }),
  },
  {
    files: ['src/extension/**/*.ts'],
    rules: forbid({
      reason: 'the extension knows no command and no page, and also runs in a browser: Node only in *.node.ts twins',
      folders: ['cli', 'webview'],
      packages: nodeModules,
    }),
  },
  {
    files: ['src/extension/**/*.node.ts'],
    rules: forbid({ reason: 'the extension knows no command and no page', folders: ['cli', 'webview'] }),
  },
  {
    files: ['src/cli/**/*.ts'],
    rules: forbid({
      reason: 'the command knows no editor and no page',
      folders: ['extension', 'webview'],
      packages: ['vscode'],
    }),
  },
  {
    files: ['src/cli/simulation/**/*.ts'],
    rules: forbid({
      reason: 'simulated builds share no code with the strain step or the detection, which are judged by them',
      folders: ['extension', 'webview', 'worker', 'strain', 'change', 'pipeline'],
      files: ['session.ts'],
      packages: ['vscode'],
    }),
  },
  {
    files: ['webview/**/*.ts'],
    rules: forbid({
      reason: 'the page knows only core/display and the messages',
      folders: ['extension', 'cli', 'worker', ...undrawn.filter((name) => !name.endsWith('.ts'))],
      files: undrawn.filter((name) => name.endsWith('.ts')),
      packages: ['vscode', ...nodeModules],
    }),
  },
);
