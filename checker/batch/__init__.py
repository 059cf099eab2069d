"""Many jobs: as bytes out of anything, judged in order by one process or several.

`sources` finds the jobs, `running` judges one, `many` all of them in one process, `processes` in several. `stop` and
`progress` end a run and go on with it, `baseline` tells what is new.

Imports `reporting` and what stands below it.
"""
