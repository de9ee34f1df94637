// The lines that version control leaves where two sides of a merge changed the same place of a text (git's manual,
// git-merge, "How conflicts are presented").

const mark = /^(?:(?:<{7}|>{7}|\|{7})(?: .*)?|={7})\r?$/;

/** Whether a line, without its line feed, is such a mark. */
export function isMergeMark(line: string): boolean {
  return mark.test(line);
}

/** Where a mark stands; what follows from it is for the caller to add. */
export const mergeRemedy = 'A merge left both sides here. Keep what is right, remove this mark, and save';
