"""Files, YAML, JSON, units and jobs: from bytes to facts, each checked.

`files` reads by ending (`yaml_text` and `json_text` are the doors of their libraries), `units` and `vocabulary` say what a fact
may be: `schema_walk` finds all facts in the job schema, `fact_shapes` holds what is told of each, `known_by` reads how a job
says that its facts are known, `vocabulary_document` hands all of it over as data. `fact_reader` and `typed_input` read one
fact, with `amount_text` and `typed_dates`; `typed_line` reads a `line` about one thing out of its `typed_items`, `job` a whole
job, by the walk of `job_reader`. `photographs` looks for the `pictures` that a job names; `picture_content` opens them (the
door of Pillow), `picture_metadata` takes out what they give away. `cache` keeps what an earlier run made, `shipped` finds the
files that come with the program. What a job inherits from manufacturers' sheets and profiles is in `inherited`.

Imports `problems`, `trade` and `ir`. It knows no ruleset.
"""
