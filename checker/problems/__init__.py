"""Mistakes and plain data: what everything else stands on.

`problem` is one mistake of an author or of a job: where it is, what it is, what to do about it. `document` is plain data
that remembers where in a text each part stood. `sanitize` makes words of others fit to print, `json_out` writes JSON that
steers no terminal, `file_names` names files as every system takes them.

Imports no other room. Everybody uses it.
"""
