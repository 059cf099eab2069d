/**
 * Builds all modules of a `source/` into one small file: those of the reader, and those of the page for the phone. Its first line
 * names them by their digest: so it is known which it holds.
 */

import { createHash } from "node:crypto";
import { readFileSync, readdirSync } from "node:fs";
import { build } from "esbuild";

/**
 * @param {string} folder The one that holds `source/` and `built/`.
 * @param {string} entry
 * @param {string} outfile
 * @param {string} [globalName]
 */
async function built(folder, entry, outfile, globalName) {
  const digest = createHash("sha256");
  for (const name of readdirSync(`${folder}/source`).sort()) digest.update(readFileSync(`${folder}/source/${name}`));
  await build({
    entryPoints: [`${folder}/source/${entry}`],
    bundle: true,
    minify: true,
    format: "iife",
    globalName,
    target: "es2022",
    charset: "utf8",
    banner: { js: `/* built from source, ${digest.digest("hex")} */` },
    outfile: `${folder}/built/${outfile}`,
  });
}

await built(".", "index.js", "judging.js", "changeout");
await built("../../fieldwork/phone", "main.js", "page.js");
