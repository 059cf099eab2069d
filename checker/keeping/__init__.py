"""For those who keep a ruleset: begin, change, try, compare, release, tell."""
