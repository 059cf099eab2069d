"""Edits of a ruleset's files, with the cases that they need.

`new`, `adopt`, `amend`, `answer` and `confirm` say what to write, `layer_context` which layers are around the ruleset,
`boundary_cases` which cases a moved limit needs; `file_edits` changes the text and leaves the rest as it is.
"""
