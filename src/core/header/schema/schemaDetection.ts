// The part of the header's schema that tells change detection how to weigh false alarms against missed changes.
import * as v from 'valibot';
import { eventKinds } from '../../change/events.ts';
import { defaults } from './defaults.ts';
import { oneOf, quantity } from './field.ts';

const allEventKinds = Object.values(eventKinds).flat();

export const detectionSchema = v.pipe(
  v.object({
    false_alarm_budget: v.optional(
      quantity('time', {
        unit: 'h',
        meaning: 'Mean time between false mechanical alarms that you will bear, for the whole plate.',
        default: defaults.falseAlarmBudget,
        usual: ['1 h', '100000 h'],
        example: '200 h',
        limits: { above: 0, remedy: 'give hours between false alarms, for example 200 h' },
      }),
    ),
    smallest_jump: v.optional(
      quantity('strain', {
        meaning: 'Smallest change of strain worth reporting.',
        default: defaults.smallestJump,
        usual: ['0.1 um/m', '1000 um/m'],
        example: '5 um/m',
        limits: { above: 0, remedy: 'give the smallest change worth reporting, for example 5 um/m' },
      }),
    ),
    mute: v.optional(
      v.pipe(
        v.array(oneOf(allEventKinds, { meaning: 'A kind of event that is not reported.', example: 'strike' })),
        v.metadata({ meaning: 'Kinds of event that are not reported.', default: '[]', example: '[strike]' }),
      ),
    ),
  }),
  v.metadata({
    meaning: 'How change detection weighs false alarms against missed changes.',
    default: `${defaults.falseAlarmBudget}, ${defaults.smallestJump}, nothing muted`,
  }),
);
