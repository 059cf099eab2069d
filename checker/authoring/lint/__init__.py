"""Mistakes of rulesets that can be seen without a job; `linter` puts them together."""
