"""Which slips of the pen the worked cases of a rule would let pass.

`sites` finds where conditions and limits stand, `operators` and `limit_steps` turn them one at a time, `mutants` tries the
cases. `unseen` makes the slips that no case can see, which lint has to name since the release before.
"""
