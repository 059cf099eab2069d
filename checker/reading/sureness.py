"""How sure we are of a section, a requirement or a value: four marks, the surest first, and the words for them.

`checked`: read in the text itself. `second_hand`: read in a public text that explains or reprints it, which is named.
`from_memory`: nobody looked it up. `doubtful`: two readings disagree, or nobody trusts it; it gives no firm outcome.
"""

from __future__ import annotations

SURE = {
    "checked": "checked",
    "second_hand": "read second hand",
    "from_memory": "from memory",
    "doubtful": "in doubt",
}


def least_sure(*marks: str) -> str:
    """The weakest of some marks."""
    return max(marks, key=list(SURE).index)
