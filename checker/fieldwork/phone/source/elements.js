/** Elements made of plain values. Every text goes in as text: nothing that a job or a ruleset says is read as HTML. */

/** @typedef {Node|string|number|null|undefined|false} Child */

const PROPERTIES = [
  "value",
  "checked",
  "disabled",
  "hidden",
  "open",
  "htmlFor",
  "className",
  "tabIndex",
  "selected",
  "href",
];

/**
 * One element.
 * @template {keyof HTMLElementTagNameMap} Name
 * @param {Name} name
 * @param {Record<string, any>} [words] Attributes; names such as `onclick` take a function.
 * @param {...(Child|Child[])} children
 * @returns {HTMLElementTagNameMap[Name]}
 */
export function el(name, words = {}, ...children) {
  const made = document.createElement(name);
  for (const [word, value] of Object.entries(words)) set(made, word, value);
  put(made, children.flat());
  return made;
}

/** @param {HTMLElement} made @param {string} word @param {any} value */
function set(made, word, value) {
  if (value === undefined || value === null || value === false) return;
  if (word.startsWith("on")) made.addEventListener(word.slice(2), value);
  else if (PROPERTIES.includes(word)) /** @type {any} */ (made)[word] = value;
  else made.setAttribute(word, value === true ? "" : String(value));
}

/**
 * Put children behind what an element holds.
 * @param {Element} parent
 * @param {Child[]} children
 */
export function put(parent, children) {
  for (const child of children) {
    if (child === null || child === undefined || child === false || child === "") continue;
    parent.append(child instanceof Node ? child : document.createTextNode(plain(String(child))));
  }
}

/**
 * Put children in the place of what an element holds.
 * @param {Element} parent
 * @param {...(Child|Child[])} children
 */
export function fill(parent, ...children) {
  parent.replaceChildren();
  put(parent, children.flat());
}

/** A text without signs that turn the order of letters or have no shape. @param {string} text */
export function plain(text) {
  return text.replace(/[\p{Cc}\p{Cf}]/gu, (sign) => (sign === "\n" ? sign : "\ufffd"));
}

/**
 * A button as wide and high as a glove needs.
 * @param {string} text
 * @param {() => void} pressed
 * @param {Record<string, any>} [words]
 */
export const button = (text, pressed, words = {}) => el("button", { type: "button", onclick: pressed, ...words }, text);

/** @param {string} text @param {string} [className] */
export const line = (text, className = "") => el("p", { className }, text);

/** "1 question", "2 questions". @param {number} many @param {string} one @param {string} [more] */
export const counted = (many, one, more = `${one}s`) => `${many} ${many === 1 ? one : more}`;
