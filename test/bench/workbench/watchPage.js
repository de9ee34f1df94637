/* global window, document, performance, requestAnimationFrame */
// Put into a frame of the editor as soon as it is there: notes in `underplateMoments` when our view says and draws
// what. A moment is { what, text, at }, in milliseconds since 1970: `state`, the view's word for how far it is; `drawn`, the
// second frame after a window of data came, 'exact' or 'rough'; `click`; `cursor`, the line in the editor's status bar.
{
  const moments = (window.underplateMoments = []);
  const note = (what, text) => moments.push({ what, text, at: performance.timeOrigin + performance.now() });
  const noteChange = (what, text) => {
    if (moments.findLast((one) => one.what === what)?.text !== text) note(what, text);
  };
  window.addEventListener('message', ({ data }) => {
    // Arrays travel as cuts of one buffer (src/messages/wire.ts): mark, kind, first byte, bytes.
    const { underplate, body } = data?.message ?? {};
    const [, , , bytes = 0] = underplate === 'ok' ? `${body?.timeS ?? ''}`.split(' ') : [];
    // A plot, or a strip of one; the place of a cursor has no points.
    if (bytes / 8 < 2) return;
    const text = body.exact ? 'exact' : 'rough';
    requestAnimationFrame(() => requestAnimationFrame(() => note('drawn', text)));
  });
  window.addEventListener('click', () => note('click', ''), true);
  const look = () => {
    const state = document.querySelector('.state-text')?.textContent.replace(/ \d+ %$/, '') ?? '';
    if (state !== '') noteChange('state', state);
    for (const item of document.querySelectorAll('.statusbar-item')) {
      const place = /Ln (\d+)/.exec(item.textContent);
      if (place) noteChange('cursor', place[1]);
    }
    requestAnimationFrame(look);
  };
  requestAnimationFrame(look);
}
