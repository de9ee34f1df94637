// The head of a log as text (its `#` lines and the row of names) to a LogHeader and problems with exact ranges.
// Works on half-typed text as well: what can be told is told.
import { byPlace } from '../problem.ts';
import type { Problem, TextRange } from '../problem.ts';
import { ecsvText } from './fileHead/ecsvText.ts';
import type { LogHeader, TableForm } from './logHeader.ts';
import { otherDelimiter } from './fileHead/otherDelimiter.ts';
import { namesOfRow } from './fileHead/namesRow.ts';
import type { NameField } from './fileHead/namesRow.ts';
import { ProblemList } from './problemList.ts';
import { checkDeclarations, checkNamesRow, rawColumns, resolveColumn } from './resolve/resolveColumns.ts';
import { resolveHeader } from './resolve/resolveHeader.ts';
import type { AnySchema } from './schema/field.ts';
import { ecsvSchema } from './schema/schema.ts';
import { lineRange, lineText, sourceText } from './yaml/sourceText.ts';
import type { SourceText } from './yaml/sourceText.ts';
import { yamlPlaces } from './yaml/yamlPlaces.ts';
import type { Path, YamlPlaces } from './yaml/yamlPlaces.ts';
import { yamlProblems } from './yaml/yamlProblems.ts';

export interface ParsedHeader {
  /** Undefined where an error stops the analysis. */
  readonly header: LogHeader | undefined;
  /** In the order of their places. Ranges are in the header's own text: the log, or the companion file. */
  readonly problems: readonly Problem[];
  /** 1-based line of the row of names in the log, 0 where there is none. */
  readonly namesLine: number;
  /** Range of the value at a path such as `['meta', 'cells', 'B2']`; undefined where it is not in the text. */
  rangeOf(path: Path): TextRange | undefined;
  readonly source: HeaderSource;
}

/** What the language features work on. */
export interface HeaderSource {
  readonly source: SourceText;
  readonly schema: AnySchema;
  /** Path of the strain_log block. */
  readonly blockPath: Path;
  readonly places: YamlPlaces;
  /** Names in the row of names. */
  readonly columnNames: readonly string[];
}

export function parseHeader(text: string): ParsedHeader {
  const source = sourceText(text);
  const ecsv = ecsvText(source);
  const places = yamlPlaces(source, ecsv.yaml ?? '');
  const list = new ProblemList(places);
  const names = ecsv.namesLine > 0 ? namesOfRow(lineText(source, ecsv.namesLine), ',') : [];
  list.problems.push(...ecsv.problems);
  let header: LogHeader | undefined;
  if (ecsv.yaml !== undefined) {
    list.problems.push(...yamlProblems(source, places, ['meta', 'channels']));
    const stopped = list.problems.some((problem) => problem.severity === 'error');
    const broken = list.problems.some((problem) => problem.code === 'yaml-syntax');
    const resolved = broken ? undefined : resolveEcsv(source, ecsv.namesLine, names, list);
    header = stopped ? undefined : resolved;
  }
  return {
    header,
    problems: list.problems.sort(byPlace),
    namesLine: ecsv.namesLine,
    rangeOf: (path) => (places.nodeAt(path) ? places.valueRange(path) : undefined),
    source: { source, schema: ecsvSchema, blockPath: ['meta'], places, columnNames: names.map((field) => field.name) },
  };
}

function resolveEcsv(
  source: SourceText,
  namesLine: number,
  names: readonly NameField[],
  list: ProblemList,
): LogHeader | undefined {
  const { value } = list.places;
  const head = (typeof value === 'object' && value !== null ? value : {}) as {
    datatype?: unknown;
    columns?: unknown;
    meta?: unknown;
    delimiter?: unknown;
  };
  if (!isStrainLog(head.meta)) {
    list.atKey(['meta'], {
      code: 'strain-log-missing',
      message:
        "this ECSV file has no strain log header; add 'strain_log: 1' with cells and channels under meta, or a companion '<log>.header.yaml'",
    });
    return undefined;
  }
  const columnsPath = [head.datatype === undefined && head.columns !== undefined ? 'columns' : 'datatype'];
  const declared = rawColumns(head.datatype ?? head.columns);
  if (declared.length === 0) {
    list.atKey(list.places.nodeAt(columnsPath) ? columnsPath : ['meta'], {
      code: 'datatype-missing',
      message: 'datatype is missing; list every column, for example - {name: time, unit: s, datatype: float64}',
    });
    return undefined;
  }
  checkDeclarations(columnsPath, declared, list);
  if (namesLine === 0 || !namesOtherwiseSeparated(source, namesLine, declared.length, columnsPath, list)) {
    checkDelimiter(head.delimiter, list);
    if (namesLine > 0) checkNamesRow(source, source.lineStarts[namesLine - 1]!, names, declared, columnsPath, list);
  }
  return resolveHeader({
    schema: ecsvSchema,
    value,
    path: ['meta'],
    columnsPath,
    columns: declared.map((column) => resolveColumn(column.name, column)),
    table: { ...ecsvTable, skipLines: Math.max(0, namesLine - 1) },
    list,
  });
}

/** Tells of names that another sign than the comma separates; then what is declared says nothing of the rest. */
function namesOtherwiseSeparated(
  source: SourceText,
  namesLine: number,
  columns: number,
  columnsPath: Path,
  list: ProblemList,
): boolean {
  const other = otherDelimiter(lineText(source, namesLine), ',', columns);
  if (!other) return false;
  list.at(lineRange(source, namesLine), columnsPath, {
    code: 'delimiter-not-comma',
    message: `the names are separated by ${other.name}, a strain log's fields by commas; export the log with commas and decimal points, or leave the table as it is, without these header lines, and put them into a companion '<log>.header.yaml' with table: {delimiter: ${other.written}}`,
  });
  return true;
}

const ecsvTable: TableForm = { delimiter: ',', decimal: '.', skipLines: 0, comment: '#', timeFormat: '' };

function isStrainLog(meta: unknown): boolean {
  if (typeof meta !== 'object' || meta === null) return false;
  return 'strain_log' in meta || 'channels' in meta || 'cells' in meta;
}

function checkDelimiter(delimiter: unknown, list: ProblemList): void {
  if (delimiter === ',') return;
  const finding = {
    code: 'delimiter-not-comma',
    message:
      "a strain log is separated by commas, and ECSV takes a space where the header says nothing else; write delimiter: ','",
  };
  if (delimiter === undefined) list.atKey(['datatype'], finding);
  else list.atValue(['delimiter'], { ...finding, fix: { title: "Change to ','", newText: "','" } });
}
