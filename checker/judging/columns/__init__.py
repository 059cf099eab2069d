"""Many jobs judged at once: the same bound rules read as expressions over columns of numpy, for outcomes alone.

`column` is what a fact of many places is, `values`, `folds` and `conditions` work the nodes of the tree out over whole
columns, `outcomes` says what a rule comes to at each place, and `trial` tries the values that unrecorded facts could have. What
a column cannot settle exactly it leaves open, for the walk to say. Used by `engine.column_rows`; needs the extra `columns`.
"""
