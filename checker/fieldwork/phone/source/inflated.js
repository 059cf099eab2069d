/** What was deflated into the page: a text by RFC 1950, written in base 64. */

/**
 * @param {string} deflated
 * @returns {Promise<string>}
 */
export async function inflated(deflated) {
  if (typeof DecompressionStream === "undefined") throw new Error("it is too old. Bring it up to date.");
  const bytes = Uint8Array.from(atob(deflated.trim()), (sign) => sign.charCodeAt(0));
  return new Response(new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate"))).text();
}
