// Which channel tells the temperature of what: one thermometer serves a place, several are not averaged.
import { carriesTemperature } from '../logHeader.ts';
import type { Channel, LogHeader } from '../logHeader.ts';
import type { ProblemList } from '../problemList.ts';
import { listed } from '../schema/wording.ts';
import type { Path } from '../yaml/yamlPlaces.ts';

/**
 * Channels that can tell the temperature of a cell, or of one of its planes, the best first: the plane's own, the cell's,
 * that of another of its planes, then the plate's in the same order. Whichever column comes first decides only among equals.
 */
export function thermometersOf({ channels }: Pick<LogHeader, 'channels'>, cell: number, plane = -1): number[] {
  const distance = (channel: Channel): number => {
    const within = channel.plane < 0 ? 1 : channel.plane === plane ? 0 : 2;
    return channel.cell === cell ? within : 3 + within;
  };
  const byCell = thermometersByCell(channels);
  const own = cell < 0 ? [] : (byCell.get(cell) ?? []);
  return [...own, ...(byCell.get(-1) ?? [])].sort((a, b) => distance(channels[a]!) - distance(channels[b]!));
}

const known = new WeakMap<readonly Channel[], ReadonlyMap<number, readonly number[]>>();

/** Thermometers of each cell, -1 for the plate's, in the order of their columns. Of one list of channels asked for cell by cell. */
function thermometersByCell(channels: readonly Channel[]): ReadonlyMap<number, readonly number[]> {
  let byCell = known.get(channels);
  if (!byCell) {
    const made = new Map<number, number[]>();
    channels.forEach((channel, i) => {
      if (!carriesTemperature(channel)) return;
      const cell = Math.max(-1, channel.cell);
      const others = made.get(cell);
      if (others) others.push(i);
      else made.set(cell, [i]);
    });
    known.set(channels, made);
    byCell = made;
  }
  return byCell;
}

/** Tells of each thermometer that is nowhere the first choice, and of what serves in its place. */
export function checkThermometers(header: LogHeader, path: Path, list: ProblemList): void {
  const serving = new Map<number, string[]>();
  const planes = header.cells.map(() => new Set([-1]));
  for (const one of header.channels) if (one.cell >= 0 && !carriesTemperature(one)) planes[one.cell]!.add(one.plane);
  header.cells.forEach((cell, index) => {
    const firsts = [...planes[index]!].map((plane) => thermometersOf(header, index, plane)[0]);
    for (const first of new Set(firsts)) {
      if (first === undefined) continue;
      const cells = serving.get(first);
      if (cells) cells.push(cell.name);
      else serving.set(first, [cell.name]);
    }
  });
  header.channels.forEach((channel, index) => {
    if (!carriesTemperature(channel) || serving.has(index) || header.cells.length === 0) return;
    const instead = [...serving].filter(
      ([, cells]) => channel.cell < 0 || cells.includes(header.cells[channel.cell]!.name),
    );
    list.atKey([...path, 'channels', channel.name], {
      severity: 'information',
      code: 'thermometer-unused',
      message: `'${channel.name}' is not used while others read in the datum window: ${servants(header, instead)}. Several are not averaged; the plane's own goes before the cell's, that before the plate's, then the first column`,
    });
  });
}

function servants({ channels }: LogHeader, serving: readonly (readonly [number, readonly string[]])[]): string {
  return serving.map(([index, cells]) => `'${channels[index]!.name}' serves ${listed(cells)}`).join(', ');
}
