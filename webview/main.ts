// The view's page: puts the panels together, takes what the extension says, and keeps the user's choices.
import './nonce.ts';
import 'uplot/dist/uPlot.min.css';
import './style.css';
import { changedSummary, isMereProgress } from '../src/messages/summaryChanges.ts';
import type { ToView } from '../src/messages/view.ts';
import { App } from './app.ts';
import { EventPanel } from './events/eventPanel.ts';
import { GoodBuildPanel } from './goodBuilds/goodBuildPanel.ts';
import { ProblemPanel } from './events/problemPanel.ts';
import { element } from './element.ts';
import { connect } from './host.ts';
import { PlatePanel } from './map/platePanel.ts';
import { PlotPanel } from './plots/plotPanel.ts';
import { Status } from './status.ts';
import { Timeline } from './timeline/timeline.ts';

const keepMs = 250;

function start(root: HTMLElement): void {
  const app = new App(connect());
  const main = element('main', { class: 'page' }, [
    new Timeline(app).root,
    new EventPanel(app).root,
    new PlatePanel(app).root,
    new PlotPanel(app).root,
    new GoodBuildPanel(app).root,
    new ProblemPanel(app).root,
  ]);
  root.replaceChildren(new Status(app).root, main);
  app.host.onNotice((notice) => take(app, notice));
  keepChoices(app, root.dataset['log'] ?? '');
  app.logChanged();
  app.host.tell({ type: 'ready' });
}

function take(app: App, notice: ToView): void {
  switch (notice.type) {
    case 'summary':
      app.summary = changedSummary(app.summary, notice.changes);
      if (app.summary && isMereProgress(notice.changes)) {
        app.progressed();
        return;
      }
      break;
    case 'reference':
      app.reference = notice.changes && changedSummary(app.reference, notice.changes);
      break;
    case 'goodBuilds':
      app.showBands(notice.comparison);
      app.goodBuilds = notice.comparison;
      break;
    case 'notes':
      app.notes = notice.notes;
      break;
    case 'limits':
      app.limits = notice;
      break;
    case 'cursor': {
      const selected = notice.toTimeS > notice.timeS;
      app.choices.set({
        cursorS: notice.timeS,
        selectedFromS: selected ? notice.timeS : NaN,
        selectedToS: selected ? notice.toTimeS : NaN,
      });
      return;
    }
    case 'showEvent': {
      const event = app.summary?.events.find(({ id }) => id === notice.id);
      if (event) app.chooseEvent(event, true);
      return;
    }
    case 'showCell':
      app.choices.set({ cell: notice.cell, plane: app.planeOf(notice.cell, app.choices.now.plane) });
      return;
  }
  app.logChanged();
}

/** Leaves the choices with the editor, shortly after they come to rest. */
function keepChoices(app: App, log: string): void {
  let rest: ReturnType<typeof setTimeout> | undefined;
  const keys = Object.keys(app.choices.now).filter((key) => key !== 'hoverS') as (keyof typeof app.choices.now)[];
  app.choices.on(keys, (choices) => {
    clearTimeout(rest);
    rest = setTimeout(() => app.host.save({ ...choices, log }), keepMs);
  });
}

const root = document.getElementById('app');
if (!root) throw new Error('the page has no element with the id app');
start(root);
