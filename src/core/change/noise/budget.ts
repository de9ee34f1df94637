// How surprised a test must be before anyone is told: from the hours between false alarms that the user allows for the
// whole plate, the number of cells and tests, and how often each test is looked at. Surprise is -ln of a probability.

/** Shares of the budget. They add up to one. */
const shares = { alone: 0.55, together: 0.3, blows: 0.15 };
export type BudgetShare = keyof typeof shares;

/**
 * Surprise that one look must exceed where `perSecond` independent looks (over all cells and tests) share the budget.
 */
export function neededSurprise(falseAlarmHours: number, perSecond: number, share: BudgetShare): number {
  const looks = Math.max(1, falseAlarmHours * 3600 * perSecond);
  return Math.log(looks / shares[share]);
}
