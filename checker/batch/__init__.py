"""Many jobs: as bytes out of anything (`sources`), judged in order by one process or several (`running`)."""
