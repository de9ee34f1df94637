// The page's end of the talk with the extension: notices both ways, requests with replies, and what the editor keeps for
// the next start. Everything crosses through wire.ts, since the editor's JSON has no NaN.
import { Channel, type Port } from '../src/messages/channel.ts';
import type { FromView, ToView, ViewCalls } from '../src/messages/view.ts';
import { fromWire, toWire } from '../src/messages/wire.ts';

interface EditorApi {
  postMessage(message: unknown): void;
  getState(): unknown;
  setState(state: unknown): void;
}

declare function acquireVsCodeApi(): EditorApi;

export interface Host {
  readonly calls: ViewCalls;
  tell(notice: FromView): void;
  onNotice(listener: (notice: ToView) => void): void;
  readSaved(): unknown;
  save(state: unknown): void;
}

export function connect(): Host {
  const editor = acquireVsCodeApi();
  const port: Port = {
    post: (message) => editor.postMessage(toWire(message)),
    onMessage: (listener) =>
      window.addEventListener('message', (event: MessageEvent<unknown>) => listener(fromWire(event.data))),
  };
  const channel = new Channel<FromView, ToView>(port);
  return {
    calls: channel.caller<ViewCalls>(),
    tell: (notice) => channel.notify(notice),
    onNotice: (listener) => channel.onNotice(listener),
    readSaved: () => fromWire(editor.getState()),
    save: (state) => editor.setState(toWire(state)),
  };
}
