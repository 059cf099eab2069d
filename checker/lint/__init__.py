"""Mistakes of rulesets that can be seen without a job; `everything` puts them together."""
