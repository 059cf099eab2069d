/**
 * The question to put to whoever decides, where a rule leaves something open: a clerk can answer it.
 *
 * It names the section, the date that counts and the readings that matter, and says for each answer what follows. What follows
 * is judged, not written: the rule is judged as it would stand with that answer.
 */

import { allCitations, section } from "./citations.js";
import { DOES_NOT_APPLY, FAIL, PASS, VERIFY, conditionsOf, judgeAt, reasonOf, worstFirst } from "./judge.js";
import { KINDS } from "./kinds.js";
import { factsRead, walk } from "./references.js";
import { pathOf } from "./versions.js";
import { filled, limitTitle, lowTitle, titleOf, whatFailed } from "./words.js";

/** @typedef {import("./program.js").Node} Node */
/** @typedef {import("./scope.js").Scope} Scope */
/** @typedef {import("./judge.js").Judged} Judged */
/** @typedef {import("./words.js").Job} Job */
/** @typedef {import("./findings.js").Finding} Finding */
/** @typedef {import("./findings.js").Version} Version */
/** @typedef {{answer: string, leads_to: string}} Reply */
/** @typedef {{question: string, replies: Reply[]}} Put */

const TO_DECIDE = ["authority_decides", "not_adopted"]; // somebody else has to say; no fact is missing
const MOST_SECTIONS = 3;
const MOST_READINGS = 4;
const READINGS = ["quantity", "count", "choice"]; // forms of facts that tell a size or a kind
const IN_DOUBT = [
  { label: "yes", means: "as_written", values: [] },
  { label: "no", means: "not_asked", values: [] },
];
const NOTHING_ASKED = { ask: "", question: "", asked_of: "", answers: /** @type {Reply[]} */ ([]) };

/** Puts the questions of one job. */
export class Asker {
  /**
   * @param {Job} job
   * @param {import("./uncertainty.js").AccuracyOf} accuracy
   */
  constructor(job, accuracy) {
    this.job = job;
    this.accuracy = accuracy;
  }

  /**
   * The question of a finding, its last part alone, who is asked, and the answers; empty where nobody else decides.
   * @param {Finding} finding
   */
  put(finding) {
    const { rule, judged, versions } = finding;
    if (finding.outcome !== VERIFY || !TO_DECIDE.includes(finding.reason)) return NOTHING_ASKED;
    const codes = finding.same ? [] : this.inDoubt(versions);
    const { question, replies } =
      finding.alternatives.length && codes.length ? this.whichEdition(codes, versions) : this.ofTheRule(rule, judged);
    const facts = [this.when(rule.id), ...this.readings(rule, judged.scope)].filter(Boolean).join("; ");
    const about = `About ${sections(allCitations(finding))}${facts ? ` (${facts})` : ""}`;
    return { ask: `${about}: ${question}`, question, asked_of: rule.asked_of, answers: replies };
  }

  /** The date that counts for a rule, in words. @param {string} rule */
  when(rule) {
    const path = this.job.program.dates[rule] || pathOf(this.job.program, "adoption_date");
    return path ? `${lowTitle(this.job.program, path)} ${this.job.written[path] ?? "not recorded"}` : "";
  }

  /**
   * The recorded facts that tell a size or a kind, amounts first.
   * @param {Node} rule
   * @param {Scope} scope
   */
  readings(rule, scope) {
    const paths = factsRead(conditionsOf(rule), scope).filter((path) => Object.hasOwn(this.job.written, path));
    const form = (/** @type {string} */ path) => READINGS.indexOf(scope.facts.domain(path)?.form ?? "");
    return paths
      .filter((path) => form(path) >= 0)
      .sort((a, b) => form(a) - form(b))
      .slice(0, MOST_READINGS)
      .map((path) => `${lowTitle(this.job.program, path)} ${this.job.written[path].replaceAll("_", " ")}`);
  }

  // --- which edition ---

  /** The codes of which more than one edition could hold, by their owner's title. @param {Version[]} versions */
  inDoubt(versions) {
    /** @type {Map<string, Set<string|null>>} */
    const editions = new Map();
    for (const [code, edition] of versions.flatMap((one) => one.setting.editions)) {
      editions.set(code, (editions.get(code) ?? new Set()).add(edition));
    }
    const several = [...editions].filter(([, ones]) => ones.size > 1).map(([code]) => code);
    return several.map(
      (code) => (this.job.program.sources.find((one) => one.id === code)?.title ?? code).split(",")[0],
    );
  }

  /**
   * What follows from each edition, those that come to the same together.
   * @param {string[]} codes
   * @param {Version[]} versions
   * @returns {Put}
   */
  whichEdition(codes, versions) {
    const sortedOnes = [...versions].sort(worstFirst);
    const names = short(sortedOnes.map((one) => one.setting.label.split(", ")));
    /** @type {Map<string, string[]>} */
    const led = new Map();
    sortedOnes.forEach((version, index) => {
      const leads = this.said(version);
      led.set(leads, [...(led.get(leads) ?? []), ...names[index]]);
    });
    const replies = [...led].map(([leads_to, labels]) => ({ answer: either(labels), leads_to }));
    return { question: `Which edition of ${codes.join(" and ")} is in force for this job?`, replies };
  }

  /** @param {Version} version */
  said({ rule, judged }) {
    if (!rule || !judged) return this.leads(null, null);
    const { verdict } = judged;
    if (verdict.outcome !== VERIFY || !TO_DECIDE.includes(reasonOf(verdict))) return this.leads(rule, judged);
    const { question, replies } = this.ofTheRule(rule, judged);
    const led = replies.map((one) => `${one.answer}, ${one.leads_to.replace(/\.+$/, "")}`);
    return `then this too: ${question} If ${led.join("; if ")}`;
  }

  // --- one version of a rule ---

  /**
   * The question of a rule and its answers: its own, or one made of its title and what is open in it.
   * @param {Node} rule
   * @param {Judged} judged
   * @returns {Put}
   */
  ofTheRule(rule, judged) {
    const { verdict, scope } = judged;
    const own = verdict.question >= 0 ? rule.verify[verdict.question].question : rule.stale ? [] : rule.ask;
    const asked = filled(own, scope, this.job);
    if (verdict.question >= 0 || asked) {
      const replies = (rule.replies.length ? rule.replies : IN_DOUBT).map((/** @type {any} */ one) => ({
        answer: one.label,
        leads_to: this.with(rule, judged, one.means, Object.fromEntries(one.values)),
      }));
      return { question: asked || asTitled(rule), replies };
    }
    const yes = {
      answer: "yes",
      leads_to: rule.stale || rule.doubtful.length ? this.with(rule, judged, "as_written", {}) : "",
    };
    if (rule.stale) {
      const question = `${rule.stale}. Does it still hold as it was written: ${rule.title}?`;
      return { question, replies: [yes, { answer: "no", leads_to: "the book decides, by the sections above" }] };
    }
    if (rule.doubtful.length) {
      return {
        question: asTitled(rule),
        replies: [yes, { answer: "no", leads_to: "what the book says there holds instead" }],
      };
    }
    const replies = [{ answer: "whatever it is", leads_to: "the rule is judged by it, once it is recorded" }];
    return { question: `What holds here for this: ${leftOpen(rule)}?`, replies };
  }

  /**
   * What follows where an answer is given.
   * @param {Node} rule
   * @param {Judged} judged
   * @param {string} means
   * @param {Record<string, any>} values
   */
  with(rule, judged, means, values) {
    if (means === "not_asked") return this.leads(null, null);
    if (means === "met") return "it passes";
    if (means === "not_met") return this.fails(rule, judged.scope);
    const given = (/** @type {any} */ part) => (Object.keys(values).length ? withValues(part, values) : part);
    const parts = { applies: given(rule.applies), require: given(rule.require), where: given(rule.where) };
    const answered = { ...rule, doubtful: [], stale: "", verify: [], ...parts };
    return this.leads(answered, judgeAt(answered, judged.scope.facts, judged.place, this.accuracy));
  }

  /**
   * An outcome as what follows.
   * @param {Node|null} rule
   * @param {Judged|null} judged
   */
  leads(rule, judged) {
    if (!rule || !judged || judged.verdict.outcome === DOES_NOT_APPLY) return "nothing is asked here";
    if (judged.verdict.outcome === PASS) return "it passes";
    if (judged.verdict.outcome === FAIL) return this.fails(rule, judged.scope);
    const needed = judged.verdict.needs.map((path) => titleOf(this.job.program, path));
    return needed.length ? `it hangs on what is to be recorded: ${needed.join(", ")}` : "more is open in it";
  }

  /** @param {Node} rule @param {Scope} scope */
  fails(rule, scope) {
    return `it fails. ${whatFailed(rule, scope, this.job).remedy}`.trim();
  }
}

/** @param {Node} rule */
const asTitled = (rule) => `Does the book that is in force ask this there: ${rule.title}?`;

/** The limits of a rule that have no value here, in words. @param {Node} rule */
function leftOpen(rule) {
  const open = [...walk([rule.applies, rule.require, rule.where])].filter(
    (one) => one.is === "constant" && one.value === null,
  );
  const titles = [...new Set(open.map((one) => one.name))].map((name) => limitTitle(rule, name));
  return titles.join("; ") || rule.title;
}

/**
 * A part of a rule in which limits that are open have these values.
 * @param {any} part
 * @param {Record<string, any>} values
 * @returns {any}
 */
function withValues(part, values) {
  if (Array.isArray(part)) return part.map((one) => withValues(one, values));
  if (part === null || typeof part !== "object") return part;
  if (typeof part.is !== "string")
    return Object.fromEntries(Object.entries(part).map(([name, one]) => [name, withValues(one, values)]));
  if (part.is === "constant")
    return part.value === null && Object.hasOwn(values, part.name) ? { ...part, value: values[part.name] } : part;
  return {
    ...part,
    ...Object.fromEntries(KINDS[part.is].holds.map((field) => [field, withValues(part[field], values)])),
  };
}

/**
 * The editions without the name of the code, where they are all of the one code that the question names.
 * @param {string[][]} labels
 */
function short(labels) {
  const codes = new Set(labels.flat().map((name) => name.split(" ")[0]));
  if (codes.size === 1) return labels.map((names) => names.map((name) => name.split(" ").slice(1).join(" ")));
  return labels.map((names) => [names.join(", ")]);
}

/** @param {string[]} labels */
const either = (labels) => [labels.slice(0, -1).join(", "), labels[labels.length - 1]].filter(Boolean).join(" or ");

/** @param {Node[]} citations */
function sections(citations) {
  const found = [...new Set(citations.map((one) => section(one)))];
  const more = found.length > MOST_SECTIONS ? ` and ${found.length - MOST_SECTIONS} more` : "";
  return found.slice(0, MOST_SECTIONS).join("; ") + more;
}
