/** Builds all modules of `source/` into one small file. Its first line names them by their digest: so it is known which it holds. */

import { createHash } from "node:crypto";
import { readFileSync, readdirSync } from "node:fs";
import { build } from "esbuild";

const NAMES = readdirSync("source").sort();
const digest = createHash("sha256");
for (const name of NAMES) digest.update(readFileSync(`source/${name}`));

await build({
  entryPoints: ["source/index.js"],
  bundle: true,
  minify: true,
  format: "iife",
  globalName: "changeout",
  target: "es2022",
  charset: "utf8",
  banner: { js: `/* built from source, ${digest.digest("hex")} */` },
  outfile: "built/judging.js",
});
