"""From the text of a rule to nodes: every word found, every kind checked, without any job.

`parser` reads the text of a condition, `names` and `kinds` say what a word may be, `resolver` turns words into nodes,
`rule_text` reads the lines and messages of a rule, `binder` makes a bound rule and `bound_once` keeps it for everything that
asks for the same. `written_for` binds the conditions on the jobs that a ruleset is written for. `authority_answers` rewrites
a rule by what the authority answered, `answers_in_job` reads such answers from a job.

Imports `rulesets` and what stands below it.
"""
