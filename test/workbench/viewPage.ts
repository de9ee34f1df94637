// Our view as a test speaks of it: its events, its plate map and its plots, read from the page itself.
import type { Frame, Locator } from 'playwright-core';
import type { EditorPage } from './editorPage.ts';

export class ViewPage {
  readonly frame: Frame;

  private constructor(frame: Frame) {
    this.frame = frame;
  }

  /** Opens the view of the log in front and waits until it shows the log read to its end. */
  static async open(editor: EditorPage): Promise<ViewPage> {
    await editor.runCommand('Underplate: Open Plate View');
    return ViewPage.shown(editor);
  }

  /** The view that is open already. */
  static async shown(editor: EditorPage): Promise<ViewPage> {
    const view = new ViewPage(await editor.viewFrame());
    await view.frame.getByText('read to the end').waitFor({ timeout: 60_000 });
    return view;
  }

  events(words: string | RegExp): Locator {
    return this.frame.locator('[role=option][data-event]', { hasText: words });
  }

  /** What the map shows: quantity, time, layer and line of its moment. */
  caption(words: string | RegExp): Locator {
    return this.frame.locator('.map-caption', { hasText: words });
  }

  button(name: string | RegExp): Locator {
    return this.frame.getByRole('button', { name });
  }

  cellOnMap(cell: number): Locator {
    return this.frame.locator(`.map-host [data-cell="${cell}"]`).first();
  }
}
