// How long what happens to the metal takes. Seconds.

/** Metal and supports let go within seconds: what a cell adds so soon is the same break, however many rows show it. */
export const breakS = 3;
/** What goes on for several times that is no break but a lift: such take tens of seconds and more. */
export const liftS = 4 * breakS;
