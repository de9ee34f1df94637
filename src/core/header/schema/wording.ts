// Turns of phrase that many problems share: a fix that puts the nearest known word, a list of names that stays short.
import type { Finding } from '../problemList.ts';

/** The fix that puts the one word that must have been meant; nothing where there is none. */
export function changeTo(word: string | undefined): Pick<Finding, 'fix'> {
  return word === undefined ? {} : { fix: { title: `Change to '${word}'`, newText: yamlText(word) } };
}

/** `; did you mean 'up'?`, or else the remedy. */
export function didYouMean(word: string | undefined, otherwise: string): string {
  return word === undefined ? otherwise : `did you mean '${word}'?`;
}

/** At most twelve names, and how many more there are. */
export function listed(names: readonly string[]): string {
  const shown = names.slice(0, 12).join(', ');
  return names.length > 12 ? `${shown} and ${names.length - 12} more` : shown;
}

/** A word of the user's in a message: what is longer than any sensible name is cut. */
export function shortened(word: string): string {
  return word.length > 60 ? `${word.slice(0, 60)}…` : word;
}

/** Text as it stands in YAML, inside brackets too: in quotes where it would be read otherwise. */
export function yamlText(text: string): string {
  const plain = /^[A-Za-z_](?:[\w.\-/%() ]*[\w)])?$/.test(text) && !/^(?:true|false|null|yes|no|on|off)$/i.test(text);
  return plain ? text : `'${text.replaceAll("'", "''")}'`;
}
