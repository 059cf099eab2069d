"""A job in, a report out: rulesets made ready once, then judged on job after job.

`startup` opens what a run needs, `readiness` refuses rulesets that are not ready, `compiler` binds every rule once, `variants`
are what it gives, `program_of` brings a place's rules into one document, which `for_browser` hands over with the vocabulary,
`scope` says which rulesets speak of a job, `job_run` takes a job through all of them, `job_report` makes the report of it with
its notes, `editions` and `reviews` what it says of codes and rulesets; `outcome_rows` gives outcomes alone, `checker` is what
others call.

Imports `findings` and what stands below it.
"""
