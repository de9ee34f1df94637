// What the YAML reader could not make sense of, as problems in our words.
import { visit } from 'yaml';
import type { YAMLParseError } from 'yaml';
import type { Problem } from '../../problem.ts';
import { rangeBetween } from './sourceText.ts';
import type { SourceText } from './sourceText.ts';
import { spanOf } from './yamlPlaces.ts';
import type { Path, YamlPlaces } from './yamlPlaces.ts';

/** `channelsPath` leads to the channels, whose double names have a code of their own. */
export function yamlProblems(source: SourceText, places: YamlPlaces, channelsPath: Path): Problem[] {
  const channels = places.valueSpan(channelsPath);
  const syntax = places.document.errors[0]; // what follows it is mostly echo
  const found = places.repeatedKeys.map((node): Problem => {
    const [from] = spanOf(node)!;
    const key = /^[^\s:]+/.exec(source.text.slice(from))?.[0] ?? '';
    const inChannels = channels !== undefined && from >= channels[0] && from < channels[1];
    return {
      range: rangeBetween(source, from, from + key.length),
      severity: 'error',
      code: inChannels ? 'channel-duplicate' : 'key-duplicate',
      message: `'${key}' stands here twice; remove one or give it its own name`,
    };
  });
  if (syntax) found.push(syntaxProblem(source, syntax));
  if (places.value === undefined && found.length === 0) found.push(badReference(source, places));
  return found;
}

function syntaxProblem(source: SourceText, { code, pos, message }: YAMLParseError): Problem {
  const end = Math.max(pos[1], pos[0] + 1);
  return {
    range: rangeBetween(source, pos[0], Math.min(end, source.text.length)),
    severity: 'error',
    code: 'yaml-syntax',
    message: `the header is no valid YAML here: ${remedyOf(code, message)}`,
  };
}

/** YAML references (`*name`) to nothing, or so many of them that they would fill the memory. */
function badReference(source: SourceText, { document }: YamlPlaces): Problem {
  let lost: readonly [number, number] | undefined;
  let circle: readonly [number, number] | undefined;
  // Each refers to what stands before it: the last one multiplies what all others have multiplied.
  let last: readonly [number, number] = [0, 0];
  visit(document, {
    Alias: (_, alias, parents) => {
      const span = spanOf(alias) ?? last;
      const target = alias.resolve(document);
      if (!target) lost ??= span;
      else if (parents.includes(target)) circle ??= span;
      last = span;
    },
  });
  const span = lost ?? circle ?? last;
  const name = source.text.slice(...span);
  const fault = lost
    ? `'${name}' refers to nothing that stands before it; write the value out, or put quotes around the text`
    : circle
      ? `'${name}' refers to what it stands in, which has no end; write the value out`
      : `the header's YAML references, up to '${name}', stand for too many values; write them out`;
  return { range: rangeBetween(source, ...span), severity: 'error', code: 'yaml-syntax', message: fault };
}

const remedies: Readonly<Record<string, string>> = {
  TAB_AS_INDENT: 'a tab stands where spaces are needed; indent with spaces',
  BAD_INDENT: 'the line is not indented like its neighbours; give lines of one block the same indentation',
  MISSING_CHAR:
    'a character is missing; close every { [ and quote, and put a space after each colon and a comma between entries',
  UNEXPECTED_TOKEN:
    'something stands here that does not belong; look for a missing comma, colon or closing bracket before it',
  BLOCK_IN_FLOW: 'indented lines stand inside { } or [ ]; close the bracket first',
  BLOCK_AS_IMPLICIT_KEY: "a value follows a value; put quotes around text that holds ': '",
  BAD_ALIAS: "'*' starts a reference in YAML; put quotes around the text",
};

function remedyOf(code: string, message: string): string {
  return remedies[code] ?? message.replace(/ at line \d+.*$/s, '');
}
