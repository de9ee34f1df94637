// Finds a Chrome or Chromium: CHROMIUM_PATH, then the usual names and places, then (Debian, as root) apt.
import { spawnSync } from 'node:child_process';
import { accessSync, constants, existsSync } from 'node:fs';
import { delimiter, join } from 'node:path';

const names = ['chromium', 'chromium-browser', 'google-chrome-stable', 'google-chrome', 'chrome', 'chrome.exe'];
const places = [
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
  '/Applications/Chromium.app/Contents/MacOS/Chromium',
  'C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe',
  'C:\\Program Files (x86)\\Google\\Chrome\\Application\\chrome.exe',
];

/** @throws Error that says what to do where there is none and none can be installed. */
export function chromium(): string {
  const named = process.env['CHROMIUM_PATH'];
  if (named !== undefined && named !== '') {
    if (existsSync(named)) return named;
    throw new Error(`CHROMIUM_PATH names '${named}', which does not exist`);
  }
  const found = search();
  if (found !== undefined) return found;
  if (process.getuid?.() === 0 && existsSync('/usr/bin/apt-get')) {
    console.log('underplate: installing Chromium for the tests in a real editor (apt, once)');
    for (const args of [['update'], ['install', '-y', '--no-install-recommends', 'chromium']]) {
      spawnSync('apt-get', ['-q', ...args], { stdio: ['ignore', 'inherit', 'inherit'] });
    }
    const installed = search();
    if (installed !== undefined) return installed;
  }
  throw new Error(
    'no Chrome or Chromium found for the tests in a real editor. Install one (Debian: apt install chromium), ' +
      'or set CHROMIUM_PATH to its executable.',
  );
}

function search(): string | undefined {
  const folders = (process.env['PATH'] ?? '').split(delimiter);
  return [...names.flatMap((name) => folders.map((folder) => join(folder, name))), ...places].find(executable);
}

function executable(file: string): boolean {
  try {
    accessSync(file, constants.X_OK);
    return true;
  } catch {
    return false;
  }
}
