"""Two versions of a ruleset side by side: what differs, what it means, what the next version number is.

`unseen` makes the slips that no case can see: each has to be named where a ruleset is compared with its newest release.
"""
