// The derived table as ECSV 1.0: a header of units, then comma-separated rows; ten significant digits, undefined empty.
import { createWriteStream } from 'node:fs';
import { once } from 'node:events';
import type { WriteStream } from 'node:fs';
import type { Output } from '../command.ts';
import type { TableAbout, TableColumn, TableSink } from './deriveColumns.ts';

export class CsvSink implements TableSink {
  readonly #stream: WriteStream | Output;
  #failure: Error | undefined;

  /** To the file of that path, or to an open output. */
  constructor(target: string | Output, columns: readonly TableColumn[], about: TableAbout) {
    this.#stream = typeof target === 'string' ? createWriteStream(target) : target;
    if (isFile(this.#stream)) this.#stream.on('error', (error) => (this.#failure = error));
    this.#stream.write(header(columns, about));
  }

  async write(columns: readonly Float64Array[], rows: number): Promise<void> {
    const lines: string[] = [];
    for (let row = 0; row < rows; row++) {
      let line = field(columns[0]![row]!);
      for (let c = 1; c < columns.length; c++) line += `,${field(columns[c]![row]!)}`;
      lines.push(line);
    }
    if (lines.length > 0) await this.#put(`${lines.join('\n')}\n`);
  }

  async finish(): Promise<void> {
    if (!isFile(this.#stream)) return;
    this.#stream.end();
    if (this.#failure === undefined && !this.#stream.closed) await once(this.#stream, 'close');
    this.#check();
  }

  async abandon(): Promise<void> {
    if (!isFile(this.#stream) || this.#stream.closed) return;
    this.#stream.destroy();
    await once(this.#stream, 'close');
  }

  async #put(text: string): Promise<void> {
    const room = this.#stream.write(text);
    if (room === false && isFile(this.#stream) && this.#failure === undefined) await once(this.#stream, 'drain');
    this.#check();
  }

  #check(): void {
    if (this.#failure !== undefined) throw this.#failure;
  }
}

function isFile(stream: WriteStream | Output): stream is WriteStream {
  return 'closed' in stream && 'path' in stream;
}

/** Shortest text of the value at ten significant digits; an undefined value is empty. */
function field(value: number): string {
  if (!Number.isFinite(value)) return '';
  return Number.isInteger(value) ? String(value + 0) : String(Number(value.toPrecision(10)));
}

function header(columns: readonly TableColumn[], { source, datum, heatLeft, sick }: TableAbout): string {
  const types = columns.map(({ name, unit, title, integer }) => {
    const unitPart = unit === '' ? '' : `unit: ${JSON.stringify(unit)}, `;
    const type = integer ? 'int64' : 'float64';
    return `# - {name: ${JSON.stringify(name)}, ${unitPart}datatype: ${type}, description: ${JSON.stringify(title)}}`;
  });
  const window = Number.isFinite(datum.fromS) ? `, from_s: ${datum.fromS}, to_s: ${datum.toS}` : '';
  const meta = [
    `#   derived_from: ${JSON.stringify(source)}`,
    `#   datum: {rows: ${datum.rows}${window}, fit: ${datum.fit}}`,
    ...(heatLeft.length > 0 ? [`#   heat_left_in: ${JSON.stringify(heatLeft)}`] : []),
    ...(sick ? [`#   sick_channels:${sick.length === 0 ? ' []' : ''}`, ...sick.map((one) => `#   - ${one}`)] : []),
  ];
  return [
    '# %ECSV 1.0',
    '# ---',
    "# delimiter: ','",
    '# datatype:',
    ...types,
    '# meta:',
    ...meta,
    '# schema: astropy-2.0',
    `${columns.map(({ name }) => quoted(name)).join(',')}\n`,
  ].join('\n');
}

/** RFC 4180. */
function quoted(text: string): string {
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
