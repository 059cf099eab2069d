"""Before and on the visit: asking a contractor for what a job still lacks."""
