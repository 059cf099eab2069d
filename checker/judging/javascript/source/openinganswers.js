/** What is typed at an opening question that records a list: `checker/fieldwork/short_start.py` says the same. */

import { folded } from "./texts.js";

/** @typedef {{facts: string[], fields: [string, string], words: Record<string, string>, example: string}} Told */

const LETTER = "[\\p{L}\\p{Nl}\\p{No}]";
const WORD = "[\\p{L}\\p{N}_]";
const BETWEEN = new RegExp(`[,;/&+]|(?<!${WORD})and(?!${WORD})`, "u");
const AFTER_A_WORD = new RegExp(`(?<=${LETTER})\\s+(?=\\p{Nd})`, "u");
const AFTER_A_NUMBER = new RegExp(`(?<=\\p{Nd})\\s+(?=${LETTER})`, "u");
const WORDS = new RegExp(`${LETTER}+`, "gu");

/**
 * A list out of pairs of a number and a word, such as `2021 residential, 2023 electrical`: an item of each, whatever its order.
 * @param {Told} told As the job schema has the question.
 * @param {string} typed
 * @returns {{facts: Record<string, Record<string, string>[]>}|{refused: string}}
 */
export function pairsTyped({ facts: [path], fields: [number, word], words, example }, typed) {
  const items = [];
  for (const part of pairs(typed)) {
    const figures = part.match(/\p{Nd}+/gu) ?? [];
    const named = folded((part.match(WORDS) ?? []).join(" "));
    if (figures.length !== 1 || !Object.hasOwn(words, named)) {
      const begins = [...part].slice(0, 40).join("");
      return { refused: `'${begins}' is not clear. Such as: ${example}. Words: ${Object.keys(words).join(", ")}.` };
    }
    const year = [...figures[0]].length > 2 ? figures[0] : `20${figures[0].padStart(2, "0")}`;
    const key = Object.keys(words).find((one) => words[one] === words[named]) ?? named;
    items.push({ key, [number]: year, [word]: words[named] });
  }
  return { facts: { [path]: items } };
}

/** The pairs of an answer: with a sign or the word and between, or each where a number or a word begins the next. @param {string} typed */
function pairs(typed) {
  const parts = typed.split(BETWEEN).map((one) => one.trim());
  return parts.filter(Boolean).flatMap((part) => part.split(/^\p{Nd}/u.test(part) ? AFTER_A_WORD : AFTER_A_NUMBER));
}
