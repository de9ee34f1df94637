// The table's columns from the declarations (ECSV `datatype`, or a companion's `table.columns`) and the row of names.
// Units are turned to SI scales here; what a channel's unit must be is checked with the channel.
import type { Column } from '../logHeader.ts';
import { nearest } from '../nearest.ts';
import type { NameField } from '../fileHead/namesRow.ts';
import type { Finding, ProblemList } from '../problemList.ts';
import { dimensions, unitScale } from '../units/quantity.ts';
import type { Dimension } from '../units/quantity.ts';
import { ecsvTypes } from '../schema/schemaTable.ts';
import type { RawColumn } from '../schema/schema.ts';
import { rangeBetween } from '../yaml/sourceText.ts';
import type { SourceText } from '../yaml/sourceText.ts';
import type { Path } from '../yaml/yamlPlaces.ts';
import { changeTo, shortened } from '../schema/wording.ts';

/** The declared columns as the header's text has them; what has the wrong shape is left out here and told by the schema. */
export function rawColumns(value: unknown): RawColumn[] {
  if (!Array.isArray(value)) return [];
  const textOf = (item: Record<string, unknown>, key: string): string | undefined =>
    typeof item[key] === 'string' ? item[key] : undefined;
  return value.map((item: unknown) => {
    const record = (typeof item === 'object' && item !== null ? item : {}) as Record<string, unknown>;
    const [unit, datatype, type] = ['unit', 'datatype', 'type'].map((key) => textOf(record, key));
    return { name: textOf(record, 'name') ?? '', unit, datatype, type };
  });
}

export function resolveColumn(name: string, raw: RawColumn | undefined): Column {
  const unit = raw?.unit ?? '';
  const dimension = (Object.keys(dimensions) as Dimension[]).find((each) => unitScale(unit, each).ok);
  const result = dimension === undefined || unit === '' ? undefined : unitScale(unit, dimension);
  const { scale, offset } = result?.ok ? result : { scale: 1, offset: 0 };
  return { name, unit, datatype: raw?.datatype ?? raw?.type ?? 'float64', toSiScale: scale, toSiOffset: offset };
}

/** Types that ECSV does not know, and names declared twice. */
export function checkDeclarations(path: Path, columns: readonly RawColumn[], list: ProblemList): void {
  const seen = new Set<string>();
  columns.forEach((column, index) => {
    const typeKey = column.datatype === undefined ? 'type' : 'datatype';
    const datatype = column.datatype ?? column.type;
    if (datatype !== undefined && !ecsvTypes.includes(datatype)) {
      const near = nearest(datatype, ecsvTypes);
      list.atValue([...path, index, typeKey], {
        code: 'datatype-unknown',
        message: `'${datatype}' is no ECSV datatype; use float64, int32 or string`,
        ...changeTo(near),
      });
    }
    if (datatype === undefined && path[0] !== 'table') {
      list.atValue([...path, index], {
        severity: 'warning',
        code: 'datatype-missing',
        message: `the column '${column.name}' has no datatype, without which other programs refuse the file; add datatype: float64`,
      });
    }
    if (seen.has(column.name)) {
      list.atValue([...path, index, 'name'], {
        code: 'column-duplicate',
        message: `the column '${column.name}' is declared twice; give every column its own name`,
      });
    }
    seen.add(column.name);
  });
}

/** The row of names must match the declared columns, name by name; the first difference is told, with how many follow. */
export function checkNamesRow(
  source: SourceText,
  lineStart: number,
  fields: readonly NameField[],
  columns: readonly RawColumn[],
  path: Path,
  list: ProblemList,
): void {
  const count = Math.max(fields.length, columns.length);
  const different = [...Array(count).keys()].filter((index) => fields[index]?.name !== columns[index]?.name);
  const first = different[0];
  if (first === undefined) return;
  const [field, declared] = [fields[first], columns[first]?.name];
  const after = different.length - 1;
  const more = after > 0 ? ` (${after} more differ after it)` : '';
  if (field === undefined) {
    list.atKey([...path, first], {
      code: 'names-mismatch',
      message: `datatype declares '${declared}', but the row of names ends before it; add it to the row of names${more}`,
    });
    return;
  }
  const finding: Finding =
    declared === undefined
      ? {
          code: 'names-mismatch',
          message: `the row of names has '${shortened(field.name)}' as column ${first + 1}, which datatype does not declare; add it to datatype${more}`,
        }
      : {
          code: 'names-mismatch',
          message: `column ${first + 1} is '${shortened(field.name)}' here but '${declared}' in datatype; make them the same${more}`,
          ...(after === 0 ? { fix: { title: `Change to '${declared}'`, newText: csvText(declared) } } : {}),
        };
  list.at(rangeBetween(source, lineStart + field.from, lineStart + field.to), path, finding);
}

/** A name as it stands in a row of names (RFC 4180). */
function csvText(name: string): string {
  return /[",]/.test(name) ? `"${name.replaceAll('"', '""')}"` : name;
}
