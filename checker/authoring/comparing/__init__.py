"""Two versions of a ruleset side by side: what differs, what it means, what the next version number is."""
