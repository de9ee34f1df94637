// Lint rules of the whole tree. The import rules are the house's arrows: each part names what it may not reach.
import { builtinModules } from 'node:module';
import js from '@eslint/js';
import tseslint from 'typescript-eslint';

const nodeModules = builtinModules.flatMap((name) => [name, `node:${name}`]);

/** A rule that forbids `paths` (exact module names) and `patterns` (globs) with one reason. */
function forbid(reason, patterns, paths = []) {
  return [
    'error',
    {
      paths: paths.map((name) => ({ name, message: reason })),
      patterns: patterns.length > 0 ? [{ group: patterns, message: reason }] : [],
    },
  ];
}

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
    files: ['src/core/**/*.ts'],
    rules: {
      'no-restricted-imports': forbid(
        'core is pure: no vscode, no Node, no other part of ours',
        ['**/extension/**', '**/cli/**', '**/webview/**', '**/messages/**', '**/worker/**', 'node:*'],
        ['vscode', ...nodeModules],
      ),
    },
  },
  {
    files: ['src/messages/**/*.ts'],
    rules: {
      'no-restricted-imports': forbid(
        'messages know only types of core',
        ['**/extension/**', '**/cli/**', '**/webview/**', '**/worker/**', 'node:*'],
        ['vscode', ...nodeModules],
      ),
    },
  },
  {
    files: ['src/worker/**/*.ts'],
    rules: {
      'no-restricted-imports': forbid(
        'a worker knows no editor',
        ['**/extension/**', '**/cli/**', '**/webview/**'],
        ['vscode'],
      ),
    },
  },
  {
    files: ['src/extension/**/*.ts'],
    rules: {
      'no-restricted-imports': forbid(
        'the extension also runs in a browser: Node only in *.node.ts twins',
        ['**/cli/**', '**/webview/**'],
        nodeModules,
      ),
    },
  },
  {
    files: ['src/extension/**/*.node.ts'],
    rules: {
      'no-restricted-imports': forbid('the extension knows no command or page', ['**/cli/**', '**/webview/**']),
    },
  },
  {
    files: ['src/cli/**/*.ts'],
    rules: {
      'no-restricted-imports': forbid('the command knows no editor', ['**/extension/**', '**/webview/**'], ['vscode']),
    },
  },
  {
    files: ['webview/**/*.ts'],
    rules: {
      'no-restricted-imports': forbid(
        'the page knows only core/display and the messages',
        [
          '**/core/header/**',
          '**/core/table/**',
          '**/core/strain/**',
          '**/core/change/**',
          '**/core/compare/**',
          '**/core/contract/**',
          '**/core/notes/**',
          '**/core/pipeline/**',
          '**/core/session*',
          '**/extension/**',
          '**/cli/**',
          '**/worker/**',
          'node:*',
        ],
        ['vscode', ...nodeModules],
      ),
    },
  },
);
