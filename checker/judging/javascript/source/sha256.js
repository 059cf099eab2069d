/** SHA-256 (FIPS 180-4) of a text in UTF-8, worked out at once: a browser's own gives it only later. */

const MIX = 0x100000000;
/** The first 32 bits of what stands behind the point of the roots of the first primes. */
const [STARTS, ROUNDS] = ofPrimes();

function ofPrimes() {
  /** @type {number[]} */
  const primes = [];
  for (let n = 2; primes.length < 64; n += 1) if (primes.every((prime) => n % prime)) primes.push(n);
  const bits = (/** @type {number} */ root) => Math.floor((root % 1) * MIX) | 0;
  return [primes.slice(0, 8).map((prime) => bits(Math.sqrt(prime))), primes.map((prime) => bits(Math.cbrt(prime)))];
}

/** @param {string} text */
function inUtf8(text) {
  const encoded = encodeURIComponent(text).replace(/%([0-9A-F]{2})/g, (_, two) =>
    String.fromCharCode(parseInt(two, 16)),
  );
  return Array.from(encoded, (sign) => sign.charCodeAt(0));
}

/** @param {number} word @param {number} by */
const turned = (word, by) => (word >>> by) | (word << (32 - by));

/** The digest in hex. @param {string} text */
export function sha256(text) {
  const bytes = inUtf8(text);
  const length = bytes.length;
  bytes.push(0x80);
  while (bytes.length % 64 !== 56) bytes.push(0);
  const bits = [Math.floor((length * 8) / MIX), (length * 8) % MIX];
  for (const word of bits) for (const by of [24, 16, 8, 0]) bytes.push((word >>> by) & 0xff);
  let state = STARTS;
  for (let at = 0; at < bytes.length; at += 64) state = mixed(state, bytes.slice(at, at + 64));
  return state.map((word) => (word >>> 0).toString(16).padStart(8, "0")).join("");
}

/** @param {number[]} state @param {number[]} block */
function mixed(state, block) {
  const words = Array.from({ length: 16 }, (_, n) =>
    block.slice(4 * n, 4 * n + 4).reduce((word, byte) => (word << 8) | byte, 0),
  );
  for (let n = 16; n < 64; n += 1) {
    const [a, b] = [words[n - 15], words[n - 2]];
    const first = turned(a, 7) ^ turned(a, 18) ^ (a >>> 3);
    const second = turned(b, 17) ^ turned(b, 19) ^ (b >>> 10);
    words.push((words[n - 16] + first + words[n - 7] + second) | 0);
  }
  let [a, b, c, d, e, f, g, h] = state;
  for (let n = 0; n < 64; n += 1) {
    const one = h + (turned(e, 6) ^ turned(e, 11) ^ turned(e, 25)) + ((e & f) ^ (~e & g)) + ROUNDS[n] + words[n];
    const two = (turned(a, 2) ^ turned(a, 13) ^ turned(a, 22)) + ((a & b) ^ (a & c) ^ (b & c));
    [h, g, f, e, d, c, b, a] = [g, f, e, (d + one) | 0, c, b, a, (one + two) | 0];
  }
  return [a, b, c, d, e, f, g, h].map((word, n) => (word + state[n]) | 0);
}
