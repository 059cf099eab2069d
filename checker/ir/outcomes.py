"""The three answers a rule can give, and why something is left to be verified."""

from __future__ import annotations

PASS, FAIL, VERIFY = "pass", "fail", "verify_locally"

# Why something must be verified. The first that applies is the reason of a finding.
REASONS = ("implausible", "not_recorded", "date_unknown", "not_adopted", "too_close", "authority_decides")

AGAIN = ("implausible", "too_close")  # a reading has to be looked at or taken again
TO_DECIDE = ("authority_decides", "not_adopted")  # somebody else has to say; no fact is missing
