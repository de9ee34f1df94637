// The report's section on channels that the tensors drawn in it do without, or that make them doubtful.
import { sickText } from '../../core/display/text/sickText.ts';
import { escapeHtml } from '../../core/notes/remarkHtml.ts';
import { sickSpells } from '../../core/pipeline/sickSpells.ts';
import type { CheckedLog } from '../checkLogs.ts';
import { paragraph, section, table } from './reportPage.ts';
import { byRosette } from '../sickRosettes.ts';

/** '' where all channels are well. */
export function sickSection({ analysis }: CheckedLog): string {
  const basis = analysis?.session.basis;
  const sick = basis ? sickSpells(basis, analysis.summary.events) : [];
  if (sick.length === 0) return '';
  const rows = byRosette(basis!.header, sick).map(({ rosette, spells }) => ({
    cells: [escapeHtml(rosette), escapeHtml(sickText(spells))],
  }));
  return section(
    'Sick channels',
    paragraph(
      'Curves of strain and direction are solved without a channel from the moment it was stuck, jumped or wandered, where three directions remain; elsewhere they are doubtful.',
    ),
    table('', [{ title: 'cell and plane' }, { title: 'its tensor' }], rows),
  );
}
