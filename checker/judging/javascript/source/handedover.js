/**
 * What everything that is handed over has to name, and no rule reads: the fields of the title block and of the records.
 * `checker/fieldwork/handed_over.py` says the same.
 */

/** @typedef {import("./job.js").Job} Job */

/** Whether a job says something of a fact, be it that it is not known. @param {Job} job @param {string} path */
export const isTold = (job, path) =>
  Object.hasOwn(job.readings, path) || Object.hasOwn(job.notKnown, path) || Object.hasOwn(job.lists, path);

/**
 * The facts and lists that are still to be told for the title block and for the records that rules of the job ask for.
 * @param {any} commands What the job schema says that commands need.
 * @param {Job} job
 * @param {{rule: string}[]} findings
 * @returns {string[]}
 */
export function stillToName(commands, job, findings) {
  const rows = (commands.title_block?.rows ?? []).filter((/** @type {any} */ row) => !row.where_recorded);
  const rules = new Set(findings.map((one) => one.rule));
  const forms = (commands.records ?? []).filter((/** @type {any} */ form) => !form.rule || rules.has(form.rule));
  const paths = [
    ...rows.flatMap((/** @type {any} */ row) => ofRow(row, job)),
    ...forms.flatMap((/** @type {any} */ form) => form.facts ?? []),
  ];
  return [...new Set(paths)].filter((path) => !isTold(job, path));
}

/**
 * The facts of a row: of each item of its list those that nothing else of the job tells; the list where it is not told.
 * @param {any} row
 * @param {Job} job
 * @returns {string[]}
 */
function ofRow({ each, facts, otherwise = {} }, job) {
  if (!each) return Object.keys(facts);
  const told = new Set(
    Object.entries(otherwise).flatMap(([path, label]) => (label && isTold(job, path) ? [label] : [])),
  );
  const wanted = Object.keys(facts).filter((path) => !told.has(facts[path]));
  const items = [...(job.lists[each] ?? [])].flatMap((_, n) =>
    wanted.map((path) => path.replace(each, `${each}.${n}`)),
  );
  return [...(isTold(job, each) ? [] : [each]), ...items];
}
