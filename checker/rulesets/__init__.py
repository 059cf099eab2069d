"""Rulesets as written: their shape, where they are, how they are layered, and what holds on a day.

`models` says what stands in a topic file as plain records (`shape`), `headers` what each whole file may hold;
`border`, the door of pydantic, holds a file to that when it is read for the first time, and `misfits` tells what does not
fit. `remedy_words` tells a remedy where no job decides. `ruleset` is one folder, `release` one frozen version,
`library` all folders.
`chain` says which are in force at a place (`standing`: a group's stands on top of any), `layering` what a rule is after all
of them, `additions` what a layer adds to one, `stricter` which of two limits holds, `layer_permissions` what a layer may not
do, `limits` what a number was on a day, `periods` and `applicability` which editions and days there are, `reach` what a rule
can hang on, `provenance` who set a limit, `fingerprint` what a rule asks, apart from its layout. `states` says what a
state's file holds, `state_rulesets` makes a ruleset of it, `frozen_states` the same out of a release, `state_words` says what
counts there and what to ask the office.

Imports `reading` and what stands below it. No condition is parsed here.
"""
