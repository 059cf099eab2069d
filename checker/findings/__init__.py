"""What judging says, in words: findings, the questions they leave, and the report of a job.

`finding` and `report` are frozen data. `composer` makes a finding of a verdict, `wording` its sentences, `workings` how it was
worked out, `named_facts` the facts behind it, `limits_used` the limits, `citations` the sections, `known` how it was found
out, `questions` what to ask the authority, `answer_notes` whose answer settled something, `acceptances` what the authority
accepted.

Imports `judging` and what stands below it.
"""
