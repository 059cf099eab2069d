"""Results kept by the very objects that they were worked out of.

Frozen shapes of rulesets cannot be keys of a dictionary, and to compare them would cost more than to work the result out
again. The objects are held beside the result, so that no other object can come to have their identity.
"""

from __future__ import annotations

import functools
from collections.abc import Callable
from typing import Any, TypeVar

Work = TypeVar("Work", bound=Callable[..., Any])


def kept_by_identity(most: int) -> Callable[[Work], Work]:
    """Make a function remember its result for the same objects. With more than `most` results it begins anew."""

    def keeping(work: Work) -> Work:
        kept: dict[tuple[int, ...], tuple[tuple[Any, ...], Any]] = {}

        @functools.wraps(work)
        def once(*objects: Any) -> Any:
            key = tuple(map(id, objects))
            known = kept.get(key)
            if known is None:
                known = objects, work(*objects)
                if len(kept) >= most:
                    kept.clear()
                kept[key] = known
            return known[1]

        return once  # type: ignore[return-value]

    return keeping
