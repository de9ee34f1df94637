// The shown window for use elsewhere: as CSV, and as a few lines of pandas code that load exactly this window from the
// log itself. Values as on screen; a missing one is an empty field.
import type { LogHeader } from '../../header/logHeader.ts';

export interface ExportedWindow {
  readonly timeS: ArrayLike<number>;
  readonly series: readonly { readonly id: string; readonly unitLabel: string; readonly values: ArrayLike<number> }[];
}

/** RFC 4180 with a row of names; only rows inside [fromS, toS]. */
export function windowCsv({ timeS, series }: ExportedWindow, fromS: number, toS: number): string {
  const names = series.map(({ id, unitLabel }) => (unitLabel === '' ? id : `${id} [${unitLabel}]`));
  const lines = [['time [s]', ...names].map(quoted).join(',')];
  for (let row = 0; row < timeS.length; row++) {
    const time = timeS[row]!;
    if (time < fromS || time > toS) continue;
    const fields = series.map(({ values }) => (Number.isFinite(values[row]!) ? String(values[row]!) : ''));
    lines.push([String(time), ...fields].join(','));
  }
  return `${lines.join('\r\n')}\r\n`;
}

export interface PandasWindow {
  readonly logName: string;
  readonly header: Pick<LogHeader, 'columns' | 'roles' | 'table'>;
  readonly fromS: number;
  readonly toS: number;
  /** Ids of the plotted series; those that are columns of the log are plotted from it. */
  readonly series: readonly string[];
}

/** Python code; series that are not columns are taken from the table that `underplate derive` writes. */
export function pandasCode({ logName, header, fromS, toS, series }: PandasWindow): string {
  const columns = new Set(header.columns.map(({ name }) => name));
  const time = header.columns[header.roles.time];
  const raw = series.filter((id) => columns.has(id));
  const derived = series.filter((id) => !columns.has(id));
  const name = pythonText(time?.name ?? 'time');
  const lines = ['import pandas as pd', ''];
  const load = (variable: string, file: string, options: readonly string[], wanted: readonly string[]): void => {
    lines.push(`${variable} = pd.read_csv(${[pythonText(file), ...options].join(', ')})`);
    lines.push(...secondsLines(variable, name, time?.datatype === 'string', header.table.timeFormat));
    lines.push(`${variable} = ${variable}[${variable}["seconds"].between(${fromS}, ${toS})]`);
    lines.push(`${variable}.plot(x="seconds", y=[${wanted.map(pythonText).join(', ')}])`, '');
  };
  if (raw.length > 0 || derived.length === 0) load('window', logName, readOptions(header.table), raw);
  if (derived.length > 0) {
    const table = logName.replace(/(\.strain)?\.[^.]*$/, '') + '.derived.csv';
    lines.push(`# first, in a terminal: underplate derive ${shellText(logName)} --output ${shellText(table)}`);
    load('derived', table, ['comment="#"'], derived);
  }
  return lines.join('\n');
}

function readOptions({ delimiter, decimal, skipLines, comment }: LogHeader['table']): string[] {
  return [
    ...(comment === '' ? [] : [`comment=${pythonText(comment)}`]),
    ...(delimiter === ',' ? [] : [`sep=${pythonText(delimiter)}`]),
    ...(decimal === '.' ? [] : [`decimal=${pythonText(decimal)}`]),
    ...(skipLines === 0 ? [] : [`skiprows=${skipLines}`]),
  ];
}

/** Seconds as the log's own times have them: as they stand, or since the first stamp where times are text. */
function secondsLines(variable: string, name: string, text: boolean, format: string): string[] {
  if (!text && format === '') return [`${variable}["seconds"] = ${variable}[${name}]`];
  return [
    `stamps = pd.to_datetime(${variable}[${name}])${format === '' ? '' : `  # written as ${format}`}`,
    `${variable}["seconds"] = (stamps - stamps.iloc[0]).dt.total_seconds()`,
  ];
}

function pythonText(text: string): string {
  return JSON.stringify(text);
}

function shellText(text: string): string {
  return /^[\w./-]+$/.test(text) ? text : `'${text.replace(/'/g, `'\\''`)}'`;
}

function quoted(text: string): string {
  return /[",\r\n]/.test(text) ? `"${text.replace(/"/g, '""')}"` : text;
}
