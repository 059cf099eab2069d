"""One bound rule on one job. Pure: no file, clock, locale or print.

`conditions` walks the tree and `values` works out amounts: the oracle and the explainer. `generated_code` writes the same as
Python, for speed. `uncertainty` and `instruments` say how sure a measured comparison is, `judge` gives the verdict.

Imports `binding` and what stands below it.
"""
