"""One bound rule on one job. Pure: no file, clock, locale or print.

`conditions` walks the tree, `values` works out amounts and `lists` what is in lists: the oracle and the explainer.
`generated_code` writes the same as Python, for speed. `uncertainty` and `instruments` say how sure a measured comparison is,
`judge` gives the verdict. `columns/` judges many packed jobs at once.
`javascript/` is the same once more, for a browser.

Imports `binding` and what stands below it.
"""
