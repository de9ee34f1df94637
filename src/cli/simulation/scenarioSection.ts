// Reads one map of a scenario key by key: each read names its dimension and what stands in where the key is missing.
// What is wrong is noted with its place; keys that nobody read are problems too, with the nearest known key.
import { onPlate, sizeText } from '../../core/header/resolve/checkLayout.ts';
import { nearest } from '../../core/header/nearest.ts';
import { readQuantity, unitScale } from '../../core/header/units/quantity.ts';
import type { Dimension } from '../../core/header/units/quantity.ts';
import type { Path, YamlPlaces } from '../../core/header/yaml/yamlPlaces.ts';
import type { Problem } from '../../core/problem.ts';
import type { Size } from './scenario.ts';

const examples: Partial<Record<Dimension, string>> = {
  length: '30 mm',
  time: '25 s',
  frequency: '1 Hz',
  angle: '45 deg',
  strain: '20 um/m',
  temperature: '80 deg_C',
  stress: '70 GPa',
};

export class ScenarioSection {
  readonly path: Path;
  readonly #places: YamlPlaces;
  readonly #problems: Problem[];
  readonly #value: Record<string, unknown>;
  readonly #known: string[] = [];

  constructor(places: YamlPlaces, path: Path, value: unknown, problems: Problem[]) {
    this.#places = places;
    this.path = path;
    this.#problems = problems;
    const isMap = typeof value === 'object' && value !== null && !Array.isArray(value);
    this.#value = isMap ? (value as Record<string, unknown>) : {};
    if (value !== undefined && !isMap) this.sayAt([], 'needs keys and values, for example {name: tray 7}');
  }

  has(key: string): boolean {
    return this.#value[key] !== undefined && this.#value[key] !== null;
  }

  names(): string[] {
    return Object.keys(this.#value);
  }

  /** Quantity in SI; without a default the key is required. `least` and `most` are limits in SI. */
  quantity(key: string, dimension: Dimension, standard?: number, least = -Infinity, most = Infinity): number {
    const value = this.#take(key, standard === undefined);
    if (value === undefined) return standard ?? NaN;
    return this.quantityAt([key], value, dimension, least, most);
  }

  quantityAt(at: Path, value: unknown, dimension: Dimension, least = -Infinity, most = Infinity): number {
    const example = examples[dimension] ?? `a ${dimension}`;
    const read = readQuantity(String(value), dimension);
    if (!read.ok) {
      this.sayAt(at, `'${String(value)}' is no ${dimension}; write a number with its unit, such as '${example}'`);
      return NaN;
    }
    if (read.si < least || read.si > most) {
      const inUnit = (si: number): string => limitText(si, read.unit, dimension);
      this.sayAt(at, `'${String(value)}' is out of range; give ${rangeText(least, most, inUnit)}`);
    }
    return read.si;
  }

  number(key: string, standard?: number, least = -Infinity, most = Infinity): number {
    const value = this.#take(key, standard === undefined);
    if (value === undefined) return standard ?? NaN;
    if (typeof value !== 'number' || !Number.isFinite(value)) {
      this.sayAt([key], `'${String(value)}' is no number; write a number without a unit`);
      return NaN;
    }
    if (value < least || value > most) this.sayAt([key], `${value} is out of range; give ${rangeText(least, most)}`);
    return value;
  }

  whole(key: string, standard: number | undefined, least: number, most = 1e9): number {
    const value = this.number(key, standard, least, most);
    if (Number.isFinite(value) && !Number.isInteger(value)) this.sayAt([key], `${value} is no whole number; round it`);
    return value;
  }

  text(key: string, standard?: string): string {
    const value = this.#take(key, standard === undefined);
    return value === undefined ? (standard ?? '') : String(value);
  }

  flag(key: string, standard: boolean): boolean {
    const value = this.#take(key, false);
    if (value !== undefined && typeof value !== 'boolean') this.sayAt([key], 'write true or false');
    return typeof value === 'boolean' ? value : standard;
  }

  choice<const T extends string>(key: string, values: readonly T[], standard?: T): T {
    const value = this.#take(key, standard === undefined);
    if (value === undefined) return standard ?? values[0]!;
    const found = values.find((one) => one === value);
    if (found === undefined)
      this.sayAt([key], `'${String(value)}' is not known here; choose one of ${values.join(', ')}`);
    return found ?? values[0]!;
  }

  /** x and y, or undefined where the key is missing. `plateM`, where given, is the size of the plate that they must lie on. */
  point(key: string, plateM?: readonly [number, number]): readonly [number, number] | undefined {
    const value = this.#take(key, false);
    return value === undefined ? undefined : this.pointAt([key], value, plateM);
  }

  pointAt(at: Path, value: unknown, plateM?: readonly [number, number]): readonly [number, number] {
    if (!Array.isArray(value) || value.length !== 2) {
      this.sayAt(at, "a place needs x and y, such as '[75 mm, 75 mm]'");
      return [NaN, NaN];
    }
    const point = [
      this.quantityAt([...at, 0], value[0], 'length'),
      this.quantityAt([...at, 1], value[1], 'length'),
    ] as const;
    // What is no number has been told already.
    if (plateM && [...point, ...plateM].every(Number.isFinite) && !onPlate(point, plateM)) {
      this.sayAt(at, `this lies outside the plate (${sizeText(plateM)}); coordinates count from the front left corner`);
    }
    return point;
  }

  /** A strain with its unit, or so many sigma. */
  size(key: string, standard?: Size): Size {
    const value = this.#take(key, standard === undefined);
    if (value === undefined) return standard ?? { sigmas: NaN };
    const sigmas = /^\s*([\d.]+)\s*sigma\s*$/.exec(String(value));
    if (sigmas) return { sigmas: Number(sigmas[1]) };
    return { strain: this.quantityAt([key], value, 'strain', 0, 0.1) };
  }

  list(key: string): readonly unknown[] {
    const value = this.#take(key, false);
    if (value !== undefined && !Array.isArray(value))
      this.sayAt([key], "needs a list, such as '[0 deg, 45 deg, 90 deg]'");
    return Array.isArray(value) ? value : [];
  }

  section(key: string, required = false): ScenarioSection {
    const value = this.#take(key, required);
    return new ScenarioSection(this.#places, [...this.path, key], value, this.#problems);
  }

  /** The named entries of a map of maps, such as parts. */
  entries(key: string): [string, ScenarioSection][] {
    const map = this.section(key);
    return Object.keys(map.#value).map((name) => [name, map.section(name)]);
  }

  /** The items of a list of maps, such as events. */
  items(key: string): ScenarioSection[] {
    return this.list(key).map(
      (value, index) => new ScenarioSection(this.#places, [...this.path, key, index], value, this.#problems),
    );
  }

  /** Call when every key has been read. */
  finish(): void {
    for (const key of Object.keys(this.#value)) {
      if (this.#known.includes(key)) continue;
      const near = nearest(key, this.#known);
      const hint = near ? `did you mean '${near}'?` : `known here: ${this.#known.join(', ')}`;
      this.#problems.push({
        range: this.#places.keyRange([...this.path, key]),
        severity: 'error',
        code: 'scenario-unknown-key',
        message: `'${key}' is not known here; ${hint}`,
      });
    }
  }

  say(key: string, message: string): void {
    this.sayAt([key], message);
  }

  /** Whether there is something at a path within this map. */
  holds(at: Path): boolean {
    return this.#places.nodeAt([...this.path, ...at]) !== undefined;
  }

  /** Notes what is wrong at a path within this map. */
  sayAt(at: Path, message: string): void {
    const path = [...this.path, ...at];
    const name = path.filter((step) => typeof step === 'string').join('.');
    this.#problems.push({
      range: this.#places.valueRange(path),
      severity: 'error',
      code: 'scenario-value',
      message: name === '' ? message : `${name}: ${message}`,
    });
  }

  #take(key: string, required: boolean): unknown {
    this.#known.push(key);
    const value = this.#value[key];
    if (value !== undefined && value !== null) return value;
    if (required) this.sayAt([], `'${key}' is missing; add it`);
    return undefined;
  }
}

function rangeText(least: number, most: number, text: (limit: number) => string = String): string {
  if (least === -Infinity) return `at most ${text(most)}`;
  return most === Infinity ? `at least ${text(least)}` : `${text(least)} to ${text(most)}`;
}

/** A limit in the unit that was written. */
function limitText(si: number, unit: string, dimension: Dimension): string {
  const read = unitScale(unit, dimension);
  return read.ok ? `${Number(((si - read.offset) / read.scale).toPrecision(6))} ${unit}` : String(si);
}
