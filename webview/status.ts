// The head of the page: which log this is, how far it is read, and the answer in one sentence. Where there is nothing to
// show, what to do instead.
import { heatLeftText } from '../src/core/display/text/heatLeft.ts';
import { clock, count, countOf, duration } from '../src/core/display/numberFormat.ts';
import { unjudged } from '../src/core/display/text/unjudged.ts';
import { isReadToEnd, isUnderWay, problemsFound } from '../src/messages/analysis.ts';
import type { LogSummary } from '../src/messages/analysis.ts';
import type { App } from './app.ts';
import { button } from './controls.ts';
import { element } from './element.ts';
import type { StrainEvent } from './logTypes.ts';

const stateWords: Readonly<Record<LogSummary['state'], string>> = {
  sampled: 'sampled',
  reading: 'reading',
  drawn: 'plots exact, looking for events',
  complete: 'read to the end',
  following: 'following',
  stopped: 'stopped',
  failed: 'not readable',
};

export class Status {
  readonly root: HTMLElement;
  readonly #app: App;
  readonly #title = element('h1', {}, ['Strain log']);
  readonly #facts = element('p', { class: 'facts-line' });
  readonly #state = element('div', { class: 'state', role: 'status' });
  readonly #headline = element('div', { class: 'headline' });
  readonly #note = element('p', { class: 'limits' });
  readonly #message = element('p', { class: 'limits', role: 'status' });
  /** Says how far and stands still otherwise: what turns would be drawn again and again while threads need the processor. */
  readonly #progress = element('progress', { max: 1, value: 0, 'aria-label': 'Reading the log' });
  readonly #stop: HTMLElement;
  readonly #again: HTMLElement;
  readonly #stateText = element('span', { class: 'state-text' });

  constructor(app: App) {
    this.#app = app;
    this.#stop = button('Stop', 'Stop reading this log', () => app.host.tell({ type: 'cancel' }));
    this.#again = button('Read again', 'Read this log again', () => app.host.tell({ type: 'readAgain' }));
    this.#state.append(this.#progress, this.#stateText, this.#stop, this.#again);
    this.root = element('header', { class: 'status' }, [
      element('div', { class: 'title-row' }, [element('div', {}, [this.#title, this.#facts]), this.#state]),
      this.#headline,
      this.#note,
      this.#message,
    ]);
    app.onMessage((text) => {
      this.#message.textContent = text;
      this.#message.hidden = text === '';
    });
    this.#message.hidden = true;
    app.onLog(() => this.#draw());
    app.onProgress(() => app.summary && this.#drawProgress(app.summary));
    this.#draw();
  }

  #draw(): void {
    const { summary, limits } = this.#app;
    // A log that has been read may still have something to tell, as that no index could be kept.
    const trouble = summary && summary.state !== 'failed' && !summary.gone ? sentence(summary.failure) : '';
    this.#note.textContent = [limits?.note ?? '', trouble].filter((text) => text !== '').join(' ');
    this.#note.hidden = this.#note.textContent === '';
    if (!summary) {
      this.#stateText.textContent = 'waiting for the log';
      this.#stop.hidden = true;
      this.#again.hidden = true;
      return;
    }
    this.#title.textContent = summary.name;
    this.#drawProgress(summary);
    // Whatever else there is to say, what is shown is not on the disk any more.
    const gone = summary.gone && summary.state !== 'failed' ? [cautionOf(sentence(summary.failure))] : [];
    this.#headline.replaceChildren(...gone, ...this.#headlineOf(summary));
  }

  /** The rest stays as it is: who stands on a link of the headline is not to lose it at every step. */
  #drawProgress(summary: LogSummary): void {
    const underWay = isUnderWay(summary.state);
    this.#facts.textContent = factsOf(summary);
    this.#progress.hidden = !underWay;
    this.#progress.value = summary.progress;
    this.#stop.hidden = !underWay && summary.state !== 'following';
    this.#again.hidden = summary.state !== 'stopped' && summary.state !== 'failed';
    this.#stateText.textContent = `${stateText(summary)}${percentOf(summary)}`;
    this.#state.dataset['state'] = summary.state;
  }

  #headlineOf(summary: LogSummary): Node[] {
    if (summary.state === 'failed') return [alertOf(sentence(summary.failure))];
    if (!summary.header) {
      if (summary.problemCount === 0 && summary.state !== 'complete') return [];
      return [
        alertOf(
          'The header does not say enough to analyse this log. The problems below name each line and its remedy.',
        ),
      ];
    }
    // Before the log has been read to its end, sampled rows may be drawn that no row count knows of yet.
    if (summary.rows === 0 && !isReadToEnd(summary.state)) return [];
    if (summary.rows === 0) {
      const text =
        summary.state === 'following'
          ? 'No rows yet. Plots appear as soon as the first rows are written.'
          : 'This log has a header but no rows. Follow it while it is being written, or open one that has rows.';
      return [element('p', { class: 'empty' }, [text])];
    }
    const gravest =
      summary.events.find(({ severity }) => severity === 'error') ??
      summary.events.find(({ severity }) => severity === 'warning');
    const cautions = cautionsOf(summary).map(cautionOf);
    const tally = element('p', { class: 'tally' }, [tallyOf(summary)]);
    return [...(gravest ? [this.#gravest(gravest)] : []), ...cautions, tally];
  }

  #gravest(event: StrainEvent): HTMLElement {
    const where = event.layer >= 0 ? `layer ${event.layer}, ` : '';
    const link = element('button', { type: 'button', class: 'link' }, [
      `${where}${clock(event.timeS)}, line ${event.line}`,
    ]);
    link.addEventListener('click', () => this.#app.chooseEvent(event, false));
    return element('p', { class: `gravest ${event.severity}` }, [element('b', {}, [event.message]), ' ', link]);
  }
}

function alertOf(text: string): HTMLElement {
  return element('p', { class: 'gravest error', role: 'alert' }, [text]);
}

function cautionOf(text: string): HTMLElement {
  return element('p', { class: 'gravest warning caution' }, [text]);
}

/** What went wrong is told as part of a sentence by whoever found it. */
function sentence(text: string): string {
  if (text === '') return '';
  return `${text.charAt(0).toUpperCase()}${text.slice(1)}${/[.!?]$/.test(text) ? '' : '.'}`;
}

/** Without a header rows are not even counted. */
function stateText({ state, header, gone }: LogSummary): string {
  if (gone) return 'not there any more';
  return state === 'complete' && !header ? 'not analysed' : stateWords[state];
}

function percentOf({ state, progress }: LogSummary): string {
  const percent = `${Math.floor(progress * 100)} %`;
  return isUnderWay(state) ? ` ${percent}` : state === 'stopped' ? ` at ${percent}` : '';
}

/** What whoever reads strain off the drawings must know first. */
function cautionsOf({ header, datum }: LogSummary): string[] {
  return [
    header ? heatLeftText(header) : '',
    datum && !datum.fit
      ? `The datum window, whose mean is called zero, is not fit for that. ${datum.reasons.join(' ')}`
      : '',
  ].filter((text) => text !== '');
}

function factsOf(summary: LogSummary): string {
  const { header } = summary;
  const parts = [
    header?.build.name ?? '',
    summary.rows > 0 ? duration(summary.endS - summary.startS) : '',
    summary.rows > 0 || (header && isReadToEnd(summary.state)) ? countOf(summary.rows, 'row', 'rows') : '',
    summary.lastLayer >= 0 ? `layer ${summary.lastLayer}${planned(summary)}` : '',
    header ? countOf(header.cells.length, 'cell', 'cells') : '',
  ];
  return parts.filter((part) => part !== '').join(' · ');
}

function planned({ header }: LogSummary): string {
  const layers = header?.build.plannedLayers ?? NaN;
  return layers > 0 ? ` of ${layers}` : '';
}

function tallyOf(summary: LogSummary): string {
  const { events, state } = summary;
  const problems = problemsFound(summary);
  const of = (test: (event: StrainEvent) => boolean): number => events.filter(test).length;
  const lasting = of(({ severity }) => severity === 'error');
  const brief = of(({ severity }) => severity === 'warning');
  const sensor = of(({ nature, severity }) => nature === 'sensor' && severity === 'information');
  const thermal = of(({ nature }) => nature === 'thermal');
  const unfound = `no lasting mechanical change${isReadToEnd(state) ? '' : ' so far'}`;
  const none = (isReadToEnd(state) && unjudged(summary)) || unfound;
  const said = [
    lasting > 0 ? countOf(lasting, 'lasting mechanical change', 'lasting mechanical changes') : none,
    brief > 0 ? `${count(brief)} brief or unsure` : '',
    sensor > 0 ? countOf(sensor, 'sensor fault', 'sensor faults') : '',
    thermal > 0 ? `${count(thermal)} thermal` : '',
    problems > 0 ? countOf(problems, 'problem in the log', 'problems in the log') : '',
  ];
  const text = said
    .filter((part) => part !== '')
    .map((part) => part.replace(/\.$/, ''))
    .join(', ');
  return sentence(text);
}
