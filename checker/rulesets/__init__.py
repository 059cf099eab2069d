"""Rulesets as written: their shape, where they are, how they are layered, and what holds on a day.

`models` and `ruleset` read one folder (the door of pydantic), `release` one frozen version, `library` all folders.
`layering` makes the chain of a place, `layer_permissions` says what a layer may not do, `limits` what a number was on a day,
`periods` and `applicability` which editions and days there are, `reach` what a rule can hang on, `provenance` who set a
limit, `fingerprint` what a rule asks, apart from its layout.

Imports `reading` and what stands below it. No condition is parsed here.
"""
