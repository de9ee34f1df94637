// Checks each cell's set of directions per plane: enough for a tensor, not too close together, and a temperature to go by.
import { conditionNumber, distinctDirections } from './conditionNumber.ts';
import { carriesTemperature } from '../logHeader.ts';
import type { Channel, LogHeader } from '../logHeader.ts';
import type { ProblemList } from '../problemList.ts';
import type { Path } from '../yaml/yamlPlaces.ts';

/** Above this the tensor's errors are many times those of the readings (0/45/90: 3.2, 0/60/120: 2). */
const worstCondition = 10;

/** `faulty` names the cells whose set of channels is not complete because of an error told already. */
export function checkRosettes(header: LogHeader, faulty: ReadonlySet<string>, path: Path, list: ProblemList): void {
  const ofCell = header.cells.map((): Channel[] => []);
  for (const channel of header.channels) if (channel.cell >= 0) ofCell[channel.cell]!.push(channel);
  const plateTemperature = header.channels.some((channel) => channel.cell < 0 && carriesTemperature(channel));
  header.cells.forEach((cell, index) => {
    if (faulty.has(cell.name)) return;
    const at = [...path, 'cells', cell.name];
    const own = ofCell[index]!.filter((channel) => !carriesTemperature(channel));
    for (const plane of new Set(own.map((channel) => channel.plane))) {
      const name = header.planes[plane]?.name;
      const where = name === undefined ? `'${cell.name}'` : `'${cell.name}' on plane '${name}'`;
      checkDirections(
        own.filter((channel) => channel.plane === plane),
        where,
        at,
        list,
      );
    }
    const known = plateTemperature || ofCell[index]!.some(carriesTemperature);
    if (!known && own.some((channel) => !channel.compensated)) {
      list.atKey(at, {
        severity: 'warning',
        code: 'temperature-missing',
        message: `'${cell.name}' has no temperature, its own or the plate's, so its strain holds the heat: warming shows as tension, cooling as compression. Add a temperature channel; one without 'cell' serves the whole plate`,
      });
    }
  });
}

function checkDirections(channels: readonly Channel[], where: string, at: Path, list: ProblemList): void {
  const directions = channels.map((channel) => channel.directionRad);
  const distinct = distinctDirections(directions);
  if (distinct < 3) {
    list.atKey(at, {
      severity: 'information',
      code: 'directions-too-few',
      message: `${where} has ${distinct === 1 ? 'one direction' : `${distinct} directions`}, so the strain along each fibre only; a tensor takes three that differ (0 and 180 deg are the same)`,
    });
    return;
  }
  const condition = conditionNumber(directions);
  if (condition > worstCondition) {
    list.atKey(at, {
      severity: 'warning',
      code: 'directions-too-close',
      message: `the directions at ${where} lie too close together (condition number ${condition.toPrecision(3)}, at best 2, bearable to ${worstCondition}), so the tensor is far less certain than the readings; spread them over 180 deg`,
    });
  }
}
