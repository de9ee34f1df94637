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
  return channels
    .map((_, i) => i)
    .filter((i) => carriesTemperature(channels[i]!) && (channels[i]!.cell === cell || channels[i]!.cell < 0))
    .sort((a, b) => distance(channels[a]!) - distance(channels[b]!));
}

/** Tells of each thermometer that is nowhere the first choice, and of what serves in its place. */
export function checkThermometers(header: LogHeader, path: Path, list: ProblemList): void {
  const serving = new Map<number, string[]>();
  header.cells.forEach((cell, index) => {
    const fibres = header.channels.filter((one) => one.cell === index && !carriesTemperature(one));
    for (const plane of new Set([-1, ...fibres.map((one) => one.plane)])) {
      const first = thermometersOf(header, index, plane)[0];
      if (first === undefined) continue;
      const cells = serving.get(first) ?? [];
      if (!cells.includes(cell.name)) serving.set(first, [...cells, cell.name]);
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
