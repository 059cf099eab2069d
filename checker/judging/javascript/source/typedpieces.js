/** A text cut into pieces, where letters, digits and signs meet. */

import { folded } from "./texts.js";

const PIECE = /\d\d?(?:,\d{3})+(?!\d)(?:\.\d+)?|\d{3},000(?!\d)|\d+(?:\.\d+)?|\.\d+|\+\/-|[\p{L}\p{Nl}\p{No}]+|\S/gu;
export const PARTS = [",", ";", "\n"];
const LENGTH = 9; // pieces of the longest word or amount: 1-1/8 in. w.c.

/** The pieces of one text, and what stands at each of them. */
export class Pieces {
  /** @param {string} text */
  constructor(text) {
    this.text = text;
    this.spans = [...text.matchAll(PIECE)].map((found) => [found.index, found.index + found[0].length]);
    this.pieces = this.spans.map(([start, end]) => text.slice(start, end));
  }

  /** @param {number} at @param {number} end */
  slice(at, end) {
    return this.text.slice(this.spans[at][0], this.spans[end - 1][1]);
  }

  /** Where a run of pieces that begins here may end: before the next comma. @param {number} at @param {number} [most] @returns {Generator<number>} */
  *ends(at, most = LENGTH) {
    for (let end = at + 1; end <= Math.min(at + most, this.pieces.length); end += 1) {
      if (PARTS.includes(this.pieces[end - 1])) return;
      yield end;
    }
  }

  /** @param {number} at */
  betweenDigits(at) {
    const both = at > 0 && at < this.pieces.length - 1;
    return both && [this.pieces[at - 1], this.pieces[at + 1]].every((one) => /^\d/.test(one));
  }

  /** @param {number} at @param {string[]} words */
  past(at, words) {
    let found = at;
    while (found < this.pieces.length && words.includes(folded(this.pieces[found])) && !this.isSign(found)) found += 1;
    return found;
  }

  /** Whether a piece is the sign of the number behind it. @param {number} at */
  isSign(at) {
    if (!["-", "+"].includes(this.pieces[at]) || at + 1 === this.pieces.length) return false;
    const apart = at === 0 || this.spans[at - 1][1] < this.spans[at][0];
    return apart && this.spans[at][1] === this.spans[at + 1][0] && /^[.\d]/.test(this.pieces[at + 1]);
  }

  /** Whether a run of pieces begins as a value does: with no sign between it and what stands before. @param {number} at */
  whole(at) {
    return !["-", "+"].includes(this.pieces[at]) || this.isSign(at);
  }
}
