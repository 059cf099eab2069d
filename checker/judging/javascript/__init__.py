"""A second reader of programs and jobs, in JavaScript: for whoever has a browser and no Python. It says what Python says.

A page calls what `source/opened.js` exports: it opens what `checker.engine.for_browser` hands over, reads a job and what
people type, judges, and writes the job again. `memory.js` judges only what reads a fact that says something else now.

`source/` holds its modules, typed by comments, and `source/knows.json` what it can read. `built/judging.js` is all of them in
one file; `npm ci && npm run check && npm run build` in this folder checks the types and builds it again. Nothing else needs
node. `reader` hands over the built file, and tells what of a program the reader cannot judge by.
"""
