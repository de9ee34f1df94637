// A companion header `<log>.header.yaml`: the strain_log block for a table that must stay as it is, plus how that table is
// written. Problems' ranges are in the companion's text.
import { byPlace } from '../problem.ts';
import {
  fieldsOf,
  firstValues,
  fitsLayout,
  isIsoStamp,
  isNumber,
  looksLikeStamp,
  namesElsewhere,
} from './fileHead/foreignRows.ts';
import { splitForeign } from './fileHead/headerEnd.ts';
import type { ForeignSplit } from './fileHead/headerEnd.ts';
import type { Column, LogHeader, TableForm } from './logHeader.ts';
import { namesOfRow } from './fileHead/namesRow.ts';
import type { ParsedHeader } from './parseHeader.ts';
import { ProblemList } from './problemList.ts';
import { checkDeclarations, rawColumns, resolveColumn } from './resolve/resolveColumns.ts';
import { timeLayoutMistake } from '../table/timeLayout.ts';
import { resolveHeader } from './resolve/resolveHeader.ts';
import { companionSchema } from './schema/schema.ts';
import type { RawColumn, RawTable } from './schema/schema.ts';
import { sourceText } from './yaml/sourceText.ts';
import type { SourceText } from './yaml/sourceText.ts';
import { nearest } from './nearest.ts';
import { yamlPlaces } from './yaml/yamlPlaces.ts';
import type { YamlPlaces } from './yaml/yamlPlaces.ts';
import { yamlProblems } from './yaml/yamlProblems.ts';
import { changeTo, didYouMean, listed, shortened } from './schema/wording.ts';

/** A companion's text with the place of everything in it; made once for all that is asked of it. */
export interface CompanionText {
  readonly source: SourceText;
  readonly places: YamlPlaces;
  /** How the table is written, as far as the companion says so readably; defaults for the rest. */
  readonly table: TableForm;
}

export function readCompanion(yaml: string): CompanionText {
  const source = sourceText(yaml);
  const places = yamlPlaces(source, source.text.replaceAll('\r', ' '));
  return { source, places, table: tableFormOf(places.value) };
}

function tableFormOf(value: unknown): TableForm {
  const raw = ((value as { table?: RawTable } | undefined)?.table ?? {}) as Record<string, unknown>;
  const text = (key: string, otherwise: string): string => (typeof raw[key] === 'string' ? raw[key] : otherwise);
  const delimiter = text('delimiter', ',').replace(/^(?:\\t|tab)$/i, '\t') || ',';
  const decimal = text('decimal', '.') === ',' ? ',' : '.';
  const skipLines = typeof raw.skip_lines === 'number' && raw.skip_lines >= 0 ? Math.floor(raw.skip_lines) : 0;
  const timeFormat = text('time_format', '');
  return { delimiter, decimal, skipLines, comment: text('comment', '#'), timeFormat };
}

/** The row of names of the table beside a companion, and its first rows; `bytes` and `final` as of `splitForeign`. */
export function splitBeside(
  bytes: Uint8Array,
  { places, table }: CompanionText,
  final: boolean,
): ForeignSplit | 'need-more' {
  const { value } = places;
  const wanted = new Set(typeof value === 'object' && value !== null ? wantedNames(value) : []);
  return splitForeign(bytes, table, final, (text) => fieldsOf(text, table.delimiter).some((name) => wanted.has(name)));
}

/** The table that a companion belongs to, as far as it is looked at. */
export interface ForeignTable extends Pick<ForeignSplit, 'text' | 'namesLine' | 'rows'> {
  /** For messages. */
  readonly name: string;
}

export function parseCompanion({ source, places, table }: CompanionText, foreign: ForeignTable): ParsedHeader {
  const list = new ProblemList(places);
  const names = namesOfRow(namesText(foreign), table.delimiter).map((field) => field.name);
  list.problems.push(...yamlProblems(source, places, ['channels']));
  const stopped = list.problems.length > 0;
  const broken = list.problems.some((problem) => problem.code === 'yaml-syntax');
  const resolved = broken ? undefined : resolveTable(names, table, foreign, list);
  return {
    header: stopped ? undefined : resolved,
    problems: list.problems.sort(byPlace),
    namesLine: foreign.namesLine || table.skipLines + 1,
    rangeOf: (path) => (places.nodeAt(path) ? places.valueRange(path) : undefined),
    source: { source, schema: companionSchema, blockPath: [], places, columnNames: names },
  };
}

function namesText({ text }: ForeignTable): string {
  return sourceText(text).text.replace(/\r?\n?$/, '');
}

function resolveTable(
  names: readonly string[],
  table: TableForm,
  foreign: ForeignTable,
  list: ProblemList,
): LogHeader | undefined {
  const { value } = list.places;
  if (typeof value !== 'object' || value === null) {
    list.atKey([], {
      code: 'strain-log-missing',
      message: "the companion header is empty; give 'strain_log: 1', cells, channels and table",
    });
    return undefined;
  }
  checkForm(value, list);
  if (!hasNames(value, names, table, foreign, list)) return undefined;
  const columnsPath = ['table', 'columns'];
  const declared = rawColumns((value as { table?: RawTable }).table?.columns);
  checkDeclarations(columnsPath, declared, list);
  declared.forEach((column, index) => {
    if (!names.includes(column.name)) unknownColumn(column, index, names, foreign.name, list);
  });
  const columns = names.map((name) =>
    resolveColumn(
      name,
      declared.find((column) => column.name === name),
    ),
  );
  const time = names.indexOf(timeName(value));
  if (columns[time]) columns[time] = timeColumn(columns[time], time, { declared, table, foreign, list });
  return resolveHeader({
    schema: companionSchema,
    value,
    path: [],
    columnsPath,
    columns,
    table,
    list,
  });
}

/** The columns of channels and those declared. */
function wantedNames(value: object): string[] {
  const { channels, table } = value as { channels?: unknown; table?: RawTable };
  const named = typeof channels === 'object' && channels !== null ? Object.keys(channels) : [];
  return [...named, ...rawColumns(table?.columns).map((column) => column.name)];
}

/** False, and told once, where the row of names holds nothing of what the companion names: then it is none. */
function hasNames(
  value: object,
  names: readonly string[],
  { delimiter, skipLines }: TableForm,
  foreign: ForeignTable,
  list: ProblemList,
): boolean {
  const wanted = wantedNames(value);
  if (wanted.length === 0 || wanted.some((name) => names.includes(name))) return true;
  const { name, namesLine, rows } = foreign;
  const text = namesText(foreign);
  const elsewhere = namesElsewhere([{ text, line: namesLine }, ...rows], delimiter, wanted);
  const remedy = elsewhere === '' ? 'check table: skip_lines, delimiter and comment' : elsewhere;
  list.atKey(['table'], {
    code: 'names-missing',
    message:
      namesLine === 0
        ? `${name} has no row of names after the ${skipLines} lines that skip_lines leaves out; check table: skip_lines and comment`
        : `line ${namesLine} of ${name}, '${shortened(text)}', was read as the row of names, but holds none of the channels' columns; ${remedy}`,
  });
  return false;
}

function timeName(value: object): string {
  const name = (value as { columns?: { time?: unknown } | null }).columns?.time;
  return typeof name === 'string' ? name : 'time';
}

interface TimeContext {
  readonly declared: readonly RawColumn[];
  readonly table: TableForm;
  readonly foreign: ForeignTable;
  readonly list: ProblemList;
}

/** The column of times: of stamps where its first rows show that, and told once where these cannot be read at all. */
function timeColumn(column: Column, index: number, { declared, table, foreign, list }: TimeContext): Column {
  const { timeFormat, delimiter } = table;
  const values = firstValues(foreign.rows, index, delimiter);
  const at = declared.findIndex(({ name }) => name === column.name);
  const typed = declared[at]?.datatype ?? declared[at]?.type;
  // An odd row or two among the first must not decide for the whole table.
  const mostlyIso = values.filter(isIsoStamp).length > values.filter(isNumber).length;
  const stamps = timeFormat === '' && typed === undefined && mostlyIso;
  const read = stamps ? { ...column, datatype: 'string' } : column;
  if (timeFormat !== '' && timeLayoutMistake(timeFormat) !== '') return read;
  const fits = (value: string): boolean => {
    if (timeFormat !== '') return fitsLayout(value, timeFormat);
    return read.datatype === 'string' ? isIsoStamp(value) : isNumber(value);
  };
  const stamp = values.find(looksLikeStamp);
  if (stamp === undefined || values.some(fits)) return read;
  const path = timeFormat !== '' ? ['table', 'time_format'] : at < 0 ? ['table'] : ['table', 'columns', at];
  list[at < 0 && timeFormat === '' ? 'atKey' : 'atValue'](path, {
    code: 'time-format-unknown',
    message: `the times in column '${column.name}', such as '${shortened(stamp)}', are not written ${formOf(read, timeFormat)}; ${remedyOf(stamp)}`,
  });
  return read;
}

function formOf({ datatype }: Column, timeFormat: string): string {
  if (timeFormat !== '') return `as time_format '${timeFormat}' has it`;
  return datatype === 'string' ? 'as ISO 8601 has it' : 'in numbers';
}

function remedyOf(stamp: string): string {
  return isIsoStamp(stamp)
    ? 'declare the column with datatype: string, without a time_format'
    : "say how with table: {time_format: …}, for example 'dd.MM.yyyy HH:mm:ss'";
}

/** What of the form would leave no row readable. */
function checkForm(value: object, list: ProblemList): void {
  const { delimiter, time_format: timeFormat } = (value as { table?: RawTable }).table ?? {};
  if (delimiter === '') {
    list.atValue(['table', 'delimiter'], {
      code: 'delimiter-empty',
      message: "nothing separates the fields; write what does, for example delimiter: ';'",
    });
  }
  const mistake = typeof timeFormat === 'string' ? timeLayoutMistake(timeFormat) : '';
  if (mistake !== '') list.atValue(['table', 'time_format'], { code: 'time-format-unknown', message: mistake });
}

function unknownColumn(
  column: RawColumn,
  index: number,
  names: readonly string[],
  fileName: string,
  list: ProblemList,
): void {
  const near = nearest(column.name, names);
  list.atValue(['table', 'columns', index, 'name'], {
    code: 'column-unknown',
    message: `${fileName} has no column '${column.name}'; ${didYouMean(near, `its columns are ${listed(names)}. If these look wrong, check table: delimiter and skip_lines`)}`,
    ...changeTo(near),
  });
}
