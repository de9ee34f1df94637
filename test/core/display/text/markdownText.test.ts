import assert from 'node:assert/strict';
import fc from 'fast-check';
import { plainMarkdown } from '../../../../src/core/display/text/markdownText.ts';

/** What is left of Markdown when CommonMark's backslash escapes are taken away (section 2.4): what could mean something. */
const unescaped = (markdown: string): string => markdown.replace(/\\[!"#$%&'()*+,\-./:;<=>?@[\\\]^_`{|}~]/g, ' ');
/** What a reader sees, where nothing but such escapes is in it. */
const read = (markdown: string): string => markdown.replace(/\\([!"#$%&'()*+,\-./:;<=>?@[\\\]^_`{|}~])/g, '$1');

describe('plain text in Markdown', () => {
  it('reads as it was, on one line, and holds no sign with a meaning', () => {
    fc.assert(
      fc.property(fc.string({ unit: fc.constantFrom(...' \n\t!"#$%&\'()*+,-./:;<=>?@[\\]^_`{|}~ab1é') }), (text) => {
        const markdown = plainMarkdown(text);
        assert.match(unescaped(markdown), /^[ \wé]*$/);
        assert.equal(read(markdown), text.split(/\s+/).filter(Boolean).join(' '));
      }),
    );
  });

  it('keeps what means nothing as it is where people read the file itself, and leaves nothing that does', () => {
    assert.equal(
      plainMarkdown("it's 3.5 % (B2-up, 0:10);  'x' = {1}", 'legible'),
      "it's 3.5 % (B2-up, 0:10); 'x' = {1}",
    );
    fc.assert(
      fc.property(fc.string({ unit: fc.constantFrom(...'<&*_`[]|~!#\\\n\t@/:.wab ') }), (text) => {
        const rest = unescaped(plainMarkdown(text, 'legible').replace(/&(?:amp|lt);/g, ' '));
        assert.doesNotMatch(rest, /[<&*_`[\]|~!#\\\n\t]|@\w|\/\/|www\./i);
      }),
    );
  });
});
