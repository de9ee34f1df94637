// A companion header `<log>.header.yaml`: the strain_log block for a table that must stay as it is, plus how that table is
// written. Problems' ranges are in the companion's text.
import { byPlace } from '../problem.ts';
import type { LogHeader, TableForm } from './logHeader.ts';
import { namesOfRow } from './namesRow.ts';
import type { ParsedHeader } from './parseHeader.ts';
import { ProblemList } from './problemList.ts';
import { checkDeclarations, rawColumns, resolveColumn } from './resolveColumns.ts';
import { timeLayoutMistake } from '../table/timeLayout.ts';
import { resolveHeader } from './resolveHeader.ts';
import { companionSchema } from './schema.ts';
import type { RawColumn, RawTable } from './schema.ts';
import { sourceText } from './sourceText.ts';
import { nearest } from './nearest.ts';
import { yamlPlaces } from './yamlPlaces.ts';
import { yamlProblems } from './yamlProblems.ts';
import { changeTo, didYouMean, listed } from './wording.ts';

/** How the table is written, as far as the companion says so readably; defaults for the rest. */
export function tableFormOf(value: unknown): TableForm {
  const raw = ((value as { table?: RawTable } | undefined)?.table ?? {}) as Record<string, unknown>;
  const text = (key: string, otherwise: string): string => (typeof raw[key] === 'string' ? raw[key] : otherwise);
  const delimiter = text('delimiter', ',').replace(/^(?:\\t|tab)$/i, '\t') || ',';
  const decimal = text('decimal', '.') === ',' ? ',' : '.';
  const skipLines = typeof raw.skip_lines === 'number' && raw.skip_lines >= 0 ? Math.floor(raw.skip_lines) : 0;
  const timeFormat = text('time_format', '');
  return { delimiter, decimal, skipLines, comment: text('comment', '#'), timeFormat };
}

/** How the table beside a companion is written; needed before its row of names can be found. */
export function companionTable(yaml: string): TableForm {
  const source = sourceText(yaml);
  return tableFormOf(yamlPlaces(source, source.text).value);
}

/** `namesLineText` is the table's row of names, `fileName` the table's name for messages. */
export function parseCompanion(yaml: string, namesLineText: string, fileName: string): ParsedHeader {
  const source = sourceText(yaml);
  const places = yamlPlaces(source, source.text.replaceAll('\r', ' '));
  const list = new ProblemList(places);
  const table = tableFormOf(places.value);
  const names = namesOfRow(sourceText(namesLineText).text.replace(/\r?\n?$/, ''), table.delimiter).map(
    (field) => field.name,
  );
  list.problems.push(...yamlProblems(source, places, ['channels']));
  const stopped = list.problems.length > 0;
  const broken = list.problems.some((problem) => problem.code === 'yaml-syntax');
  const resolved = broken ? undefined : resolveTable(names, table, fileName, list);
  return {
    header: stopped ? undefined : resolved,
    problems: list.problems.sort(byPlace),
    namesLine: table.skipLines + 1,
    rangeOf: (path) => (places.nodeAt(path) ? places.valueRange(path) : undefined),
    source: { source, schema: companionSchema, blockPath: [], places, columnNames: names },
  };
}

function resolveTable(
  names: readonly string[],
  table: TableForm,
  fileName: string,
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
  const columnsPath = ['table', 'columns'];
  const declared = rawColumns((value as { table?: RawTable }).table?.columns);
  checkDeclarations(columnsPath, declared, list);
  declared.forEach((column, index) => {
    if (!names.includes(column.name)) unknownColumn(column, index, names, fileName, list);
  });
  const columns = names.map((name) =>
    resolveColumn(
      name,
      declared.find((column) => column.name === name),
    ),
  );
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
