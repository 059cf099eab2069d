"""A job in, a report out: rulesets made ready once, then judged on job after job.

`startup` opens what a run needs, `compiler` binds every rule once, `program_of` brings a place's
rules into one document, `scope` says which rulesets speak of a job, `job_run`
takes a job through all of them, `outcome_rows` gives outcomes alone, `checker` is what others call.

Imports `findings` and what stands below it.
"""
