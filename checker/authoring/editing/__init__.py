"""Edits of a ruleset's files, with the cases that they need.

`new`, `adopt`, `amend` and `answer` say what to write, `layer_context` where the ruleset stands, `boundary_cases` which
cases a moved limit needs, `file_edits` changes the text and leaves the rest as it is.
"""
