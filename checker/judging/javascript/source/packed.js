/** A packed text unpacked: `checker/ir/packed.py` tells how it is written. What stood there once is one thing here. */

const FORMAT = 1;

/**
 * The data of a packed text.
 * @param {string} text
 * @returns {any}
 * @throws {Error} It is no packed text of this format.
 */
export function unpacked(text) {
  const told = JSON.parse(text);
  if (told?.packed !== FORMAT) throw new Error(`This is not a packed text of format ${FORMAT}.`);
  /** @type {Map<string, any>} */
  const made = new Map();
  /** @type {(part: any) => any} */
  const value = (part) => {
    if (typeof part === "string") {
      if (!made.has(part)) {
        const own = told.parts[parseInt(part, 36)];
        made.set(part, typeof own === "string" ? own : value(own));
      }
      return made.get(part);
    }
    if (!Array.isArray(part)) return part;
    if (part[0] === 0) return whole(part).map(value);
    /** @type {Record<string, any>} */
    const found = {};
    /** @type {string[]} */ (told.shapes[part[0] - 1]).forEach((name, index) => {
      found[name] = value(part[index + 1]);
    });
    return found;
  };
  return value(told.whole);
}

/**
 * The items of a list, each object with all of its values.
 * @param {any[]} list
 */
function whole(list) {
  /** @type {Map<number, any[]>} */
  const before = new Map();
  return list.slice(1).map((item) => {
    if (!Array.isArray(item) || item[0] === 0) return item;
    let found = item;
    if (item[0] < 0) {
      found = [.../** @type {any[]} */ (before.get(-item[0]))];
      for (let at = 1; at < item.length; at += 2) found[item[at] + 1] = item[at + 1];
    }
    before.set(found[0], found);
    return found;
  });
}
