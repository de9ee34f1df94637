// Collects the problems of one header at the places of its YAML, and remembers which items are spoilt by an error, so
// that they can be left out while the rest is analysed.
import type { Fix, Problem, Severity, TextRange } from '../problem.ts';
import type { Path, YamlPlaces } from './yaml/yamlPlaces.ts';

export interface Finding {
  readonly code: string;
  readonly message: string;
  /** Default: error. */
  readonly severity?: Severity;
  /** Text that replaces the marked one, where there is one right answer. */
  readonly fix?: { readonly title: string; readonly newText: string };
  readonly fixes?: readonly Fix[];
  /** How many more like it are told by this one. */
  readonly folded?: number;
}

export class ProblemList {
  readonly problems: Problem[] = [];
  readonly places: YamlPlaces;
  readonly #spoilt = new Set<string>();

  constructor(places: YamlPlaces) {
    this.places = places;
  }

  /** Marks the value at the path (the key, where there is no value). */
  atValue(path: Path, finding: Finding): void {
    this.#add(path, this.places.valueRange(path), finding);
  }

  atKey(path: Path, finding: Finding): void {
    this.#add(path, this.places.keyRange(path), finding);
  }

  /** At a range of its own; spoils the item at `path`. */
  at(range: TextRange, path: Path, finding: Finding): void {
    this.#add(path, range, finding);
  }

  /** True where an error was found at this path, below it or above it. */
  spoilt(path: Path): boolean {
    const own = JSON.stringify(path).slice(0, -1);
    if (this.#spoilt.has(own)) return true;
    for (const other of this.#spoilt) if (other.startsWith(`${own},`)) return true;
    for (let up = path.slice(0, -1); up.length > 0; up = up.slice(0, -1)) {
      if (this.#spoilt.has(JSON.stringify(up).slice(0, -1))) return true;
    }
    return false;
  }

  /** Paths of all errors, for judging whether the analysis can go on. */
  errorPaths(): Path[] {
    return [...this.#spoilt].map((text) => JSON.parse(`${text}]`) as Path);
  }

  #add(path: Path, range: TextRange, finding: Finding): void {
    const { severity = 'error', code, message, fix, fixes = [], folded = 0 } = finding;
    const all = fix ? [{ title: fix.title, range, newText: fix.newText }, ...fixes] : fixes;
    this.problems.push({
      range,
      severity,
      code,
      message,
      ...(all.length > 0 ? { fixes: all } : {}),
      ...(folded > 0 ? { folded } : {}),
    });
    if (severity === 'error') this.#spoilt.add(JSON.stringify(path).slice(0, -1));
  }
}
