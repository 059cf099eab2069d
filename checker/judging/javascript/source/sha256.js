/** SHA-256 (FIPS 180-4), worked out at once: a browser gives its own only later, and none to a page from a plain address. */

const K = constants(64, 3);
const BEGIN = constants(8, 2);

/**
 * The first bits of the fractions of the roots of the first primes (FIPS 180-4, 4.2.2 and 5.3.3), worked out in whole numbers.
 * @param {number} many
 * @param {2|3} root
 */
function constants(many, root) {
  const found = [];
  for (let n = 2n; found.length < many; n++) {
    if (isPrime(n)) found.push(Number(rootOf(n << BigInt(32 * root), BigInt(root)) & 0xffffffffn));
  }
  return found;
}

/** @param {bigint} n */
function isPrime(n) {
  for (let by = 2n; by * by <= n; by++) if (n % by === 0n) return false;
  return true;
}

/** The whole part of a root. @param {bigint} n @param {bigint} root */
function rootOf(n, root) {
  let [low, high] = [0n, 1n << 40n];
  while (high - low > 1n) {
    const middle = (low + high) >> 1n;
    if (middle ** root <= n) low = middle;
    else high = middle;
  }
  return low;
}

/**
 * The digest of some bytes, in hexadecimal.
 * @param {Uint8Array} bytes
 */
export function sha256(bytes) {
  const state = [...BEGIN];
  const padded = new Uint8Array((((bytes.length + 8) >> 6) + 1) << 6);
  padded.set(bytes);
  padded[bytes.length] = 0x80;
  const view = new DataView(padded.buffer);
  view.setUint32(padded.length - 8, Math.floor(bytes.length / 0x20000000));
  view.setUint32(padded.length - 4, (bytes.length << 3) >>> 0);
  const words = new Uint32Array(64);
  for (let at = 0; at < padded.length; at += 64) block(state, view, at, words);
  return state.map((one) => (one >>> 0).toString(16).padStart(8, "0")).join("");
}

/**
 * The digest of a text in UTF-8, in hexadecimal.
 * @param {string} text
 */
export function sha256OfText(text) {
  const encoded = encodeURIComponent(text).replace(/%([0-9A-F]{2})/g, (_, two) =>
    String.fromCharCode(parseInt(two, 16)),
  );
  return sha256(Uint8Array.from(encoded, (sign) => sign.charCodeAt(0)));
}

/** @param {number} word @param {number} by */
const turned = (word, by) => (word >>> by) | (word << (32 - by));

/** @param {number[]} state @param {DataView} view @param {number} at @param {Uint32Array} words */
function block(state, view, at, words) {
  for (let n = 0; n < 16; n++) words[n] = view.getUint32(at + 4 * n);
  for (let n = 16; n < 64; n++) {
    const [a, b] = [words[n - 15], words[n - 2]];
    const first = turned(a, 7) ^ turned(a, 18) ^ (a >>> 3);
    words[n] = (words[n - 16] + first + words[n - 7] + (turned(b, 17) ^ turned(b, 19) ^ (b >>> 10))) | 0;
  }
  let [a, b, c, d, e, f, g, h] = state;
  for (let n = 0; n < 64; n++) {
    const one = (h + (turned(e, 6) ^ turned(e, 11) ^ turned(e, 25)) + ((e & f) ^ (~e & g)) + K[n] + words[n]) | 0;
    const two = ((turned(a, 2) ^ turned(a, 13) ^ turned(a, 22)) + ((a & b) ^ (a & c) ^ (b & c))) | 0;
    [h, g, f, e, d, c, b, a] = [g, f, e, (d + one) | 0, c, b, a, (one + two) | 0];
  }
  [a, b, c, d, e, f, g, h].forEach((one, n) => (state[n] = (state[n] + one) | 0));
}
