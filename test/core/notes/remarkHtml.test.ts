import assert from 'node:assert/strict';
import fc from 'fast-check';
import { remarkHtml } from '../../../src/core/notes/remarkHtml.ts';

describe('a remark on a printed page', () => {
  it('sets paragraphs, line breaks, stress and code', () => {
    assert.equal(
      remarkHtml('A **big** step\non *both* planes.\n\nSee `B2_up_0 * 2`.'),
      '<p>A <strong>big</strong> step<br>on <em>both</em> planes.</p>\n<p>See <code>B2_up_0 * 2</code>.</p>',
    );
  });

  // The lines of attack that the OWASP XSS filter evasion cheat sheet lists first.
  for (const attack of [
    '<script>alert(1)</script>',
    '<img src=x onerror=alert(1)>',
    '[here](javascript:alert(1))',
    '![](https://example.org/pixel.png)',
    '<style>@import url(https://example.org/x.css)</style>',
    '" onmouseover="alert(1)',
    '`</code><script>`',
    '**<b onclick=x>**',
    '&lt;script&gt;',
  ]) {
    it(`shows as text: ${attack}`, () => {
      const tags = remarkHtml(attack).match(/<[^>]*>/g) ?? [];
      assert.ok(
        tags.every((tag) => /^<\/?(p|br|strong|em|code)>$/.test(tag)),
        tags.join(),
      );
    });
  }

  it('has no tags but its own, whatever is typed', () => {
    fc.assert(
      fc.property(
        fc.string({ unit: fc.constantFrom('<', '>', '"', "'", '&', '`', '*', '\n', 'a', ' ', '\u0000', '\ud800') }),
        (text) => {
          const html = remarkHtml(text);
          const rest = html.replace(/<\/?(p|br|strong|em|code)>/g, '');
          assert.ok(!/[<>"']/.test(rest) && !rest.includes('\u0000'));
          for (const tag of ['p', 'strong', 'em', 'code']) {
            assert.equal(html.split(`<${tag}>`).length, html.split(`</${tag}>`).length);
          }
        },
      ),
      { numRuns: 2000 },
    );
  });
});
