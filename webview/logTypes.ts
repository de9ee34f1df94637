// Names for what a summary holds. The page may not reach into the analysis, so it takes the types from the messages.
import type { LogSummary } from '../src/messages/analysis.ts';

export type Header = NonNullable<LogSummary['header']>;
export type StrainEvent = LogSummary['events'][number];
export type DataProblem = LogSummary['problems'][number];
