/** What was packed into the page: a text, deflated (RFC 1950) and written in base 64. */

/**
 * @param {string} packed
 * @returns {Promise<string>}
 */
export async function unpacked(packed) {
  if (typeof DecompressionStream === "undefined") throw new Error("it is too old. Bring it up to date.");
  const bytes = Uint8Array.from(atob(packed.trim()), (sign) => sign.charCodeAt(0));
  return new Response(new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate"))).text();
}
