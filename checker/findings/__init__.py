"""What judging says, in words: findings, the questions they leave, and the report of a job.

`finding` and `report` are frozen data. `composer` makes a finding of a verdict, `wording` its sentences, `questions` what to
ask the authority, `limits_used` the limits behind it, `known` how it was found out, `answer_notes` whose answer settled
something, `acceptances` what the authority accepted.

Imports `judging` and what stands below it.
"""
