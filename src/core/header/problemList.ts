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
  /** Their paths, and those of all that they stand in. */
  readonly #holdsSpoilt = new Set<string>();

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
    return this.#holdsSpoilt.has(keyOf(path)) || upwards(path).some((up) => this.#spoilt.has(keyOf(up)));
  }

  /** Paths of all errors, for judging whether the analysis can go on. */
  errorPaths(): Path[] {
    return [...this.#spoilt].map((text) => JSON.parse(text) as Path);
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
    if (severity !== 'error') return;
    this.#spoilt.add(keyOf(path));
    for (const up of upwards(path)) this.#holdsSpoilt.add(keyOf(up));
  }
}

function keyOf(path: Path): string {
  return JSON.stringify(path);
}

/** The path and those of all that it stands in, save the whole. */
function upwards(path: Path): Path[] {
  return path.map((_, i) => path.slice(0, i + 1));
}
