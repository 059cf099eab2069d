"""For those who keep a ruleset: begin, change, try, compare, release, tell.

`cases` runs the worked cases, `vectors` exports them, `explain` shows a rule after layering, `listing`, `rule_index`,
`limit_words` and `language_listing` tell what is there, `releasing` freezes a version. `lint` looks for mistakes, `mutation`
tries slips of the pen, `editing` writes files, `comparing` and `impact` tell what a change does, `docs` makes pages.

Imports `batch` and what stands below it.
"""
