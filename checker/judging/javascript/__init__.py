"""A second reader of programs, in JavaScript: for whoever has a browser and no Python. What it says is what `judge` says.

`source/` holds its modules, typed by comments, and `source/knows.json` what it can read. `built/judging.js` is all of them in
one file; `npm ci && npm run check && npm run build` in this folder checks the types and builds it again. Nothing else needs
node. `reader` hands over the built file, and tells what of a program the reader cannot judge by.
"""
