/**
 * What this reader knows: the kinds of nodes, with the fields that hold other nodes and what a field is where it is left out, the
 * operators, the folds, and the forms in which a function may be worked out. What is not there is refused when a program is loaded.
 */

import knows from "./knows.json";

/** @typedef {{holds: string[], usual: Record<string, any>}} Kind */

/** @type {Record<string, Kind>} */
export const KINDS = /** @type {any} */ (knows.kinds);
export const OPERATORS = knows.operators;
export const FOLDS = knows.folds;
export const FORMS = knows.forms;
