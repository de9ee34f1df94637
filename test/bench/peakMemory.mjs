// Loaded before a measured Node program: at its exit writes its peak memory in MiB to the file BENCH_PEAK names.
// Linux's own count of this program is preferred: what getrusage tells there begins with the memory of the one that
// started it.
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { isMainThread } from 'node:worker_threads';

function peakMib() {
  const status = '/proc/self/status';
  const line = existsSync(status) ? /^VmHWM:\s+(\d+) kB/m.exec(readFileSync(status, 'utf8')) : null;
  return (line ? Number(line[1]) : process.resourceUsage().maxRSS) / 1024;
}

if (isMainThread && process.env.BENCH_PEAK) {
  process.on('exit', () => writeFileSync(process.env.BENCH_PEAK, String(peakMib())));
}
