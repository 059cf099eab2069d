/**
 * The reader of jobs and rules, which stands in the page before this script: what this page asks of it.
 *
 * @typedef {any} Opened The rules of the place, made ready.
 * @typedef {any} Job A job; it is never changed, a change gives another one.
 * @typedef {any} Report
 * @typedef {{what: string, hint: string}} Problem
 * @typedef {Record<string, any>} Facts Values by path, as a job file holds them.
 * @typedef {{job?: Job, problems?: Problem[]}} Read
 *
 * @typedef {object} Finding
 * @property {string} rule
 * @property {string} item
 * @property {string} outcome
 * @property {string} reason
 * @property {string} weight
 * @property {boolean} lifeSafety
 * @property {boolean} practice
 * @property {boolean} accepted
 * @property {string} title
 * @property {string[]} needs
 * @property {string} station
 *
 * @typedef {object} Question
 * @property {string} path
 * @property {string} text
 * @property {string} title
 * @property {string} form
 * @property {string} unit
 * @property {{word: string, value: any}[]} choices
 * @property {boolean} mayBeNone
 * @property {boolean} [keyed]
 *
 * @typedef {{path: string, core: boolean, deciding: boolean, lifeSafety: boolean, station: string, stage: number, form: string}} Open
 * @typedef {{facts?: Facts, understood?: string, refused?: string, asks?: string, candidates?: string[]}} Answer
 */

/** @type {any} */
export const engine = /** @type {any} */ (globalThis).changeout;
