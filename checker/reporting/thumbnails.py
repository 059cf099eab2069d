"""Small copies of photographs, so that a page with all of them is quickly sent and opened.

All of a page together keep within a budget; the originals go into the packet.
"""

from __future__ import annotations

import base64
from collections.abc import Iterable, Iterator

from checker.reading import picture_content
from checker.reading.pictures import Unshown

MOST_TOGETHER = 300_000  # bytes of all in one page, as they stand in it
STEPS = ((640, 70), (480, 62), (360, 55), (260, 45), (160, 35), (96, 30))  # longest side in pixels, JPEG quality
NO_ROOM = "the page has no room for more; it is in the packet"
BEGINS = "data:image/jpeg;base64,"

Opened = tuple[str, bytes]  # the kind and the bytes of a picture


def thumbnails(found: Iterable[Opened | Unshown], count: int) -> Iterator[str | Unshown]:
    """A small copy of each picture as a data URI, or why there is none.

    Each has an equal share of the budget; what one leaves, those after it may use.

    Args:
        found: Kind and bytes of each picture, or why it cannot be shown, as `reading.pictures.picture` gives them.
        count: How many there are.
    """
    left = MOST_TOGETHER
    for before, one in enumerate(found):
        told = one if isinstance(one, Unshown) else _within(one, left // (count - before))
        left -= 0 if isinstance(told, Unshown) else len(told)
        yield told


def _within(picture: Opened, most: int) -> str | Unshown:
    """The largest small copy that takes no more than so many bytes, or why there is none."""
    try:
        for copy in picture_content.small(*picture, STEPS):
            told = BEGINS + base64.b64encode(copy).decode()
            if len(told) <= most:
                return told
    except Unshown as why:
        return why
    return Unshown(NO_ROOM)
