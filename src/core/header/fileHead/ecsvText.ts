// Splits the head of a log into its YAML and its row of names, and finds what is not ECSV 1.0 about it.
// The YAML is given back at the very offsets it has in the file: every character that is not YAML (the `#`, the first
// line, `---`, `##` comments, carriage returns) is replaced by a blank, so no range needs mapping back.
// Source: ECSV 1.0, astropy proposal for enhancement 6 (Aldcroft 2014).
import { isMergeMark, mergeRemedy } from '../../mergeMark.ts';
import type { Problem } from '../../problem.ts';
import { lineRange, lineText, rangeBetween } from '../yaml/sourceText.ts';
import type { SourceText } from '../yaml/sourceText.ts';

export interface EcsvText {
  /** Same length as the source; undefined where the file has no ECSV head at all. */
  readonly yaml: string | undefined;
  /** 1-based line of the row of names, 0 where there is none. */
  readonly namesLine: number;
  readonly problems: readonly Problem[];
}

const remedyNoHeader =
  "put the header lines ('# %ECSV 1.0', '# ---', '# datatype: …', '# meta: …') before the row of column names, " +
  "or place a companion '<log>.header.yaml' beside the file";

export function ecsvText(source: SourceText): EcsvText {
  const foreign = foreignFile(source);
  if (foreign) return { yaml: undefined, namesLine: 0, problems: [foreign] };
  const problems: Problem[] = [];
  const parts: string[] = [];
  let namesLine = 0;
  let firstLine = 0;
  for (let line = 1; line <= source.lineStarts.length; line++) {
    const raw = lineText(source, line);
    if (!raw.startsWith('#') && raw.trim() !== '') {
      if (isMergeMark(raw)) return { yaml: undefined, namesLine: 0, problems: [mergeConflict(source, line)] };
      namesLine = line;
      break;
    }
    if (raw.trim() !== '' && firstLine === 0) firstLine = line;
    parts.push(yamlOfLine(source, line, raw, line === firstLine, problems));
  }
  if (firstLine === 0) return { yaml: undefined, namesLine, problems: [noHeader(source, namesLine)] };
  if (problems.some((problem) => problem.code === 'ecsv-line-start')) return { yaml: undefined, namesLine, problems };
  if (namesLine === 0) problems.push(noNames(source));
  return { yaml: parts.join('').padEnd(source.text.length), namesLine, problems };
}

/** One line with everything blanked that is no YAML; as long as the line with its end. */
function yamlOfLine(source: SourceText, line: number, raw: string, first: boolean, problems: Problem[]): string {
  const length = (source.lineStarts[line] ?? source.text.length) - source.lineStarts[line - 1]!;
  const ends = source.lineStarts[line] === undefined ? '' : '\n';
  const fill = (yaml: string): string => yaml.padEnd(length - ends.length) + ends;
  if (first) {
    if (!/^# %ECSV (?:0\.9|1\.\d+)\s*$/.test(raw)) problems.push(badFirstLine(source, line, raw));
    return fill(/%ECSV/.test(raw) ? '' : `  ${raw.slice(2)}`);
  }
  if (raw.startsWith('##')) return fill('');
  if (/^# ---\s*$/.test(raw)) return fill('');
  if (raw.length > 1 && !raw.startsWith('# ')) {
    const at = source.lineStarts[line - 1]!;
    problems.push({
      range: rangeBetween(source, at, at + 2),
      severity: 'error',
      code: 'ecsv-line-start',
      message: "a header line starts with '# ' (number sign and one space); put a space after the number sign",
      fixes: [{ title: 'Insert the space', range: rangeBetween(source, at + 1, at + 1), newText: ' ' }],
    });
  }
  return fill(`  ${raw.slice(2)}`);
}

// eslint-disable-next-line no-control-regex -- looking for them is the point
const controlCharacter = /[\0-\x08\x0e-\x1f]/;

function foreignFile(source: SourceText): Problem | undefined {
  const { text } = source;
  const range = lineRange(source, 1);
  if (text.trim() === '') {
    return {
      range,
      severity: 'error',
      code: 'file-empty',
      message: 'the file is empty; wait until the logger has written its header, or choose another file',
    };
  }
  if (text.startsWith('version https://git-lfs.github.com/spec/')) {
    return {
      range,
      severity: 'error',
      code: 'lfs-pointer',
      message: "this is a Git LFS pointer, not the log itself; fetch the log with 'git lfs pull'",
    };
  }
  if (text.includes('\r') && !text.includes('\n')) {
    return {
      range: { line: 1, column: 1, endLine: 1, endColumn: text.indexOf('\r') + 1 },
      severity: 'error',
      code: 'line-ends-cr',
      message:
        'the lines end with a carriage return alone (CR), so all is one line; save the file with LF or CR LF line ends',
    };
  }
  const strange = controlCharacter.exec(text);
  // Where a header begins as it should, one odd character in it came in by typing or copying; zeros are room set aside.
  if (strange && strange[0] !== '\0' && /^\uFEFF?#\s*%ECSV\b/.test(text)) {
    return {
      range: rangeBetween(source, strange.index, strange.index + 1),
      severity: 'error',
      code: 'control-character',
      message: `a control character (U+${strange[0].charCodeAt(0).toString(16).toUpperCase().padStart(4, '0')}) stands here, which no text has; delete it`,
    };
  }
  if (strange) {
    return {
      range,
      severity: 'error',
      code: 'not-text',
      message:
        'the file starts with characters that no text has (it is packed, binary, UTF-16, or space that a logger set aside); unpack it, or export it as UTF-8 text',
    };
  }
  return undefined;
}

function noHeader(source: SourceText, namesLine: number): Problem {
  return {
    range: lineRange(source, Math.max(1, namesLine)),
    severity: 'error',
    code: 'header-missing',
    message: `the file has no strain log header; ${remedyNoHeader}`,
  };
}

function mergeConflict(source: SourceText, line: number): Problem {
  const message = `${mergeRemedy}; until then the log is not read.`;
  return { range: lineRange(source, line), severity: 'error', code: 'merge-conflict', message };
}

function noNames(source: SourceText): Problem {
  let line = source.lineStarts.length;
  while (line > 1 && lineText(source, line) === '') line--;
  return {
    range: lineRange(source, line),
    severity: 'error',
    code: 'names-missing',
    message:
      'the row of column names is missing after the header; write the names, separated by commas, as in datatype',
  };
}

function badFirstLine(source: SourceText, line: number, raw: string): Problem {
  const range = lineRange(source, line);
  const named = /%ECSV/.test(raw);
  return {
    range,
    severity: 'error',
    code: named ? 'ecsv-version' : 'ecsv-missing',
    message: named
      ? "only ECSV 1.x is read; the first line must be '# %ECSV 1.0'"
      : "the first line must be '# %ECSV 1.0', so that other programs know the format",
    fixes: [
      named
        ? { title: "Write '# %ECSV 1.0'", range, newText: '# %ECSV 1.0' }
        : {
            title: "Insert '# %ECSV 1.0'",
            range: { ...range, endLine: line, endColumn: 1 },
            newText: '# %ECSV 1.0\n# ---\n',
          },
    ],
  };
}
