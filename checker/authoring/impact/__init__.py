"""What rules do to an archive of jobs: what a change of a ruleset would alter, and which rules were never exercised."""
