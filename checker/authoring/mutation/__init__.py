"""Which slips of the pen the worked cases of a rule would let pass.

`sites` finds where conditions and limits stand, `operators` and `limit_steps` turn them one at a time, `mutants` tries the
cases.
"""
