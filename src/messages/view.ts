// What crosses between the extension and the view's page. Requests (with a reply) go through channel.ts;
// the rest are one-way notices. The page says `ready` first and is then told everything.
// The editor carries messages as JSON, which has no NaN, and loses arrays where there are many: both ends pass each through
// wire.ts (toWire, fromWire).
// The page finds `<div id="app" data-underplate data-log="…" data-nonce="…">`: data-log belongs into the state it saves
// (ViewState), data-nonce is for style elements that a library makes.
import type { Verdict } from '../core/notes/notes.ts';
import type { AnalysisCalls } from './analysis.ts';
import type { GoodBuilds } from './goodBuilds.ts';
import type { SummaryChanges } from './summaryChanges.ts';

/** What a page leaves with the editor for the next start, besides what it wants for itself. */
export interface ViewState {
  /** The `data-log` of the page. */
  readonly log: string;
}

/** One-way, extension to page. */
export type ToView =
  | { readonly type: 'summary'; readonly changes: SummaryChanges }
  | { readonly type: 'notes'; readonly notes: readonly NoteMark[] }
  /** The text cursor moved (or a selection was made: then toTimeS differs). */
  | { readonly type: 'cursor'; readonly timeS: number; readonly toTimeS: number; readonly line: number }
  /** A second log's summary to be drawn behind, or undefined to remove it. */
  | { readonly type: 'reference'; readonly changes: SummaryChanges | undefined }
  /** A comparison with good builds, or undefined to remove it. */
  | { readonly type: 'goodBuilds'; readonly comparison: GoodBuilds | undefined }
  | { readonly type: 'showEvent'; readonly id: string }
  | { readonly type: 'showCell'; readonly cell: number }
  | { readonly type: 'limits'; readonly textCursor: boolean; readonly note: string };

/** One-way, page to extension. */
export type FromView =
  | { readonly type: 'ready' }
  /** `file`: of a problem that lies beside the log. */
  | {
      readonly type: 'reveal';
      readonly file?: string | undefined;
      readonly line: number;
      readonly toLine?: number;
      readonly preserveFocus: boolean;
    }
  | { readonly type: 'addNote'; readonly timeS: number; readonly cell: number; readonly eventId: string }
  | { readonly type: 'judge'; readonly eventId: string; readonly verdict: Verdict }
  | { readonly type: 'save'; readonly name: string; readonly mime: string; readonly bytes: Uint8Array }
  | { readonly type: 'copy'; readonly text: string; readonly what: string }
  | { readonly type: 'chooseReference' }
  | { readonly type: 'chooseGoodBuilds' }
  | { readonly type: 'dropGoodBuilds' }
  /** Stop reading or following. */
  | { readonly type: 'cancel' }
  /** Read what was not read to its end. */
  | { readonly type: 'readAgain' }
  | { readonly type: 'settings'; readonly datum: { readonly fromS: number; readonly toS: number } };

export type { Verdict };

/** A note as the view shows it. */
export interface NoteMark {
  readonly timeS: number;
  readonly line: number;
  readonly cell: number;
  readonly eventId: string;
  readonly verdict: Verdict | '';
  readonly text: string;
}

/** Requests of the page; `reference*` ask the second log. */
export interface ViewCalls extends AnalysisCalls {
  referenceWindow: AnalysisCalls['window'];
}
