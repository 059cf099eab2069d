/** A zip in which nothing is packed (PKWARE APPNOTE 4.3): photographs are packed already. */

const TABLE = Uint32Array.from({ length: 256 }, (_, n) => {
  let found = n;
  for (let bit = 0; bit < 8; bit++) found = found & 1 ? 0xedb88320 ^ (found >>> 1) : found >>> 1;
  return found;
});
const FIRST_DAY = (1 << 5) | 1; // 1 January 1980, the first that a zip knows
const UTF8 = 0x800;

/** @param {Uint8Array} bytes */
export function crc32(bytes) {
  let found = 0xffffffff;
  for (const byte of bytes) found = TABLE[(found ^ byte) & 0xff] ^ (found >>> 8);
  return (found ^ 0xffffffff) >>> 0;
}

/**
 * The files as one zip.
 * @param {[string, Uint8Array][]} files Names with "/" between folders.
 * @returns {Blob}
 */
export function zipped(files) {
  /** @type {BlobPart[]} */
  const parts = [];
  /** @type {Uint8Array<ArrayBuffer>[]} */
  const listed = [];
  let at = 0;
  for (const [name, bytes] of files) {
    const called = new TextEncoder().encode(name);
    const shared = [20, UTF8, 0, 0, FIRST_DAY];
    const sizes = [crc32(bytes), bytes.length, bytes.length];
    const head = fields([0x04034b50], shared, sizes, [called.length, 0]);
    listed.push(joined(fields([0x02014b50], [20, ...shared], sizes, [called.length, 0, 0, 0, 0], [0, at]), called));
    parts.push(head, called, /** @type {BlobPart} */ (bytes));
    at += head.length + called.length + bytes.length;
  }
  const size = listed.reduce((sum, one) => sum + one.length, 0);
  const end = fields([0x06054b50], [0, 0, files.length, files.length], [size, at], [0]);
  return new Blob([...parts, ...listed, end], { type: "application/zip" });
}

/**
 * Numbers one behind the other: lists of four bytes and of two, by turns.
 * @param {...number[]} groups
 */
function fields(...groups) {
  const length = groups.reduce((sum, group, n) => sum + group.length * (n % 2 ? 2 : 4), 0);
  const made = new Uint8Array(length);
  const view = new DataView(made.buffer);
  let at = 0;
  groups.forEach((group, n) => {
    for (const number of group) {
      if (n % 2) view.setUint16(at, number, true);
      else view.setUint32(at, number, true);
      at += n % 2 ? 2 : 4;
    }
  });
  return made;
}

/** @param {Uint8Array} first @param {Uint8Array} second */
function joined(first, second) {
  const made = new Uint8Array(first.length + second.length);
  made.set(first);
  made.set(second, first.length);
  return made;
}
