// What the page Chamber shows: a step of the recipe, or the log.

/** In place of a step's number: the log of loads. */
export const LOG = -1;
