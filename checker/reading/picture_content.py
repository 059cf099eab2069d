"""What is in a picture file: its size, the day it was taken, what it gives away, and a small copy. The door of Pillow.

A picture may come from a stranger. It is opened only as the kind that its first bytes say, and not if it would unpack to more
than a photograph has.
"""

from __future__ import annotations

import datetime
import warnings
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from io import BytesIO
from typing import Any, NamedTuple

from PIL import ExifTags, Image

from checker.reading.pictures import Unshown

MOST_PIXELS = 64_000_000  # a phone's largest usual photograph has about 50 million
LARGER_THAN_NEEDED = 8  # a JPEG is unpacked at this part of its size where a small copy is enough
BROKEN = "the picture is damaged or cut off"
BASE, IFD = ExifTags.Base, ExifTags.IFD
NAMES = {BASE.Artist, BASE.Copyright, BASE.HostComputer, BASE.XPAuthor, BASE.CameraOwnerName, BASE.ImageDescription,
         BASE.XPComment, BASE.XPTitle, BASE.XPSubject, BASE.XPKeywords, BASE.DocumentName, BASE.UserComment}  # fmt: skip
SERIALS = {BASE.BodySerialNumber, BASE.LensSerialNumber, BASE.CameraSerialNumber, BASE.ImageUniqueID}
KEPT = {BASE.Orientation, BASE.DateTimeOriginal, IFD.Exif}
# How a picture is turned upright, by its EXIF orientation; CIPA DC-008, from memory.
TURN = Image.Transpose
TURNS = {2: TURN.FLIP_LEFT_RIGHT, 3: TURN.ROTATE_180, 4: TURN.FLIP_TOP_BOTTOM, 5: TURN.TRANSPOSE, 6: TURN.ROTATE_270,
         7: TURN.TRANSVERSE, 8: TURN.ROTATE_90}  # fmt: skip


class Look(NamedTuple):
    """What a look at a picture tells.

    `time` is when it was taken, as its EXIF has it; `turned` the EXIF number of how it has to be turned, 1 where it stands
    upright. `gives_away` says in words what it tells besides the picture.
    """

    width: int
    height: int
    time: str
    turned: int
    gives_away: tuple[str, ...]

    @property
    def day(self) -> datetime.date | None:
        """The day it was taken, where it says one that is a day."""
        try:
            return datetime.datetime.strptime(self.time[:10], "%Y:%m:%d").date()
        except ValueError:
            return None


def look(kind: str, content: bytes) -> Look:
    """Look at a picture. It is unpacked to its end, so that a broken one is known.

    Raises:
        Unshown: It is broken, it moves, or it is too large to be a photograph.
    """
    with _broken():
        opened = _opened(kind, content)
        if kind == "webp" and getattr(opened, "is_animated", False):
            raise Unshown("it is a moving picture; save one frame of it")
        width, height = opened.size
        exif = opened.getexif()
        own = exif.get_ifd(IFD.Exif)
        time, turned = _text(own.get(BASE.DateTimeOriginal)), _turned(exif)
        _unpack(opened, 1)
        return Look(width, height, time, turned, tuple(_given_away(opened, exif, own)))


def small(kind: str, content: bytes, steps: Iterable[tuple[int, int]]) -> Iterator[bytes]:
    """JPEGs of a picture, upright, with nothing in it but the picture. It is unpacked once.

    Args:
        steps: For each JPEG its longest side in pixels and its quality, the largest first.

    Raises:
        Unshown: As `look` says.
    """
    steps = list(steps)
    with _broken():
        upright = _upright(kind, content, steps[0][0])
    for longest, quality in steps:
        upright.thumbnail((longest, longest))
        kept = BytesIO()
        upright.save(kept, "JPEG", quality=quality, optimize=True)
        yield kept.getvalue()


def _upright(kind: str, content: bytes, longest: int) -> Image.Image:
    picture = _opened(kind, content)
    turned = TURNS.get(_turned(picture.getexif()))
    _unpack(picture, longest)
    found = picture.convert("RGB")
    found.thumbnail((longest, longest))
    return found.transpose(turned) if turned is not None else found


@contextmanager
def _broken() -> Iterator[None]:
    """Say of a picture on which a decoder fails that it is broken: a hostile file may raise anything in there.

    Its warnings are not for whoever runs the program.
    """
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            yield
    except Unshown:
        raise
    except Image.DecompressionBombError:
        raise Unshown(_too_many()) from None
    except Exception:
        raise Unshown(BROKEN) from None


def _opened(kind: str, content: bytes) -> Image.Image:
    opened = Image.open(BytesIO(content), formats=[kind.upper()])
    if opened.size[0] * opened.size[1] > MOST_PIXELS:
        raise Unshown(_too_many())
    return opened


def _too_many() -> str:
    return f"the picture has more than {MOST_PIXELS // 1_000_000} million pixels; save it smaller"


def _unpack(opened: Image.Image, longest: int) -> None:
    """Unpack a picture, a JPEG at about the size that is needed."""
    wanted = max(longest, max(opened.size) // LARGER_THAN_NEEDED)
    opened.draft("RGB", (wanted, wanted))
    opened.load()


def _turned(exif: Image.Exif) -> int:
    turned = exif.get(BASE.Orientation, 1)
    return turned if turned in range(1, 9) else 1


def _text(value: Any) -> str:
    """A text of EXIF with nothing in it but plain signs."""
    text = value.decode("ascii", "replace") if isinstance(value, bytes) else value if isinstance(value, str) else ""
    return "".join(sign for sign in text if " " <= sign <= "~").strip()


def _given_away(opened: Image.Image, exif: Image.Exif, own: dict[Any, Any]) -> list[str]:
    tags = {tag for tag, value in (*exif.items(), *own.items()) if value} - KEPT
    info = opened.info
    told = {
        "where it was taken": bool(exif.get_ifd(IFD.GPSInfo)),
        "names or remarks": bool(tags & NAMES) or bool(info.get("comment") or getattr(opened, "text", "")),
        "serial numbers": bool(tags & SERIALS) or BASE.MakerNote in tags,
        "the camera and its settings": bool(tags or info.get("xmp") or info.get("photoshop")),
    }
    return [said for said, there in told.items() if there]
