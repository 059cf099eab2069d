"""Pictures that a job names, whoever sent them: opened without harm, made small within a budget, handed over without metadata.

That a file handed over shows the same picture is asked of Pillow, which packs it out again; what it still tells is asked of
Pillow's own reading of EXIF.
"""

from __future__ import annotations

import base64
import struct
import zlib
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image, ImageChops
from PIL.ExifTags import IFD, Base

from checker.reading.photographs import why_missing
from checker.reading.picture_content import look, small
from checker.reading.picture_metadata import without_metadata
from checker.reading.pictures import MOST_BYTES, Unshown, kind_of, picture, picture_at
from checker.reporting.thumbnails import MOST_TOGETHER, thumbnails
from tests.support.photographs import taken

LINES = ["LARKSPUR (invented)", "MODEL LK-36", "SERIAL 0031"]
KINDS = ["JPEG", "PNG", "WEBP"]
EVERYTHING = ("where it was taken", "names or remarks", "serial numbers", "the camera and its settings")


def opened(content: bytes) -> Image.Image:
    return Image.open(BytesIO(content))


def bare(content: bytes) -> bytes:
    kind = kind_of(content)
    return without_metadata(kind, content, look(kind, content))


@pytest.mark.parametrize("kind", KINDS)
def test_a_look_tells_size_and_day_and_what_is_given_away(kind: str) -> None:
    content = taken(LINES, kind, turned=6)
    seen = look(kind_of(content), content)
    assert opened(content).size == (seen.width, seen.height)
    assert ("2026-10-12", 6) == (str(seen.day), seen.turned)
    assert EVERYTHING == seen.gives_away


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("turned", [1, 6])
def test_what_is_handed_over_is_the_same_picture_and_tells_only_when_it_was_taken(kind: str, turned: int) -> None:
    content = taken(LINES, kind, turned=turned)
    kept = bare(content)
    assert ImageChops.difference(opened(content).convert("RGB"), opened(kept).convert("RGB")).getbbox() is None
    exif = opened(kept).getexif()
    assert {} == exif.get_ifd(IFD.GPSInfo)
    assert {Base.DateTimeOriginal: "2026:10:12 14:03:22"} == exif.get_ifd(IFD.Exif)
    assert {Base.Orientation, IFD.Exif} >= {*exif}
    assert turned == exif.get(Base.Orientation, 1)
    assert () == look(kind_of(kept), kept).gives_away
    assert not any(word in kept for word in (b"Fennimore", b"Larkspur", b"LK-77"))


@pytest.mark.parametrize("kind", KINDS)
def test_what_is_handed_over_stays_as_it_is_when_it_is_handed_on(kind: str) -> None:
    kept = bare(taken(LINES, kind, turned=8))
    assert kept == bare(kept)


@pytest.mark.parametrize("progressive", [False, True])
def test_what_a_phone_hangs_behind_the_picture_is_not_handed_over(progressive: bool) -> None:
    kept = BytesIO()
    opened(taken(LINES)).save(kept, "JPEG", progressive=progressive, icc_profile=b"color", xmp=b"<x:xmpmeta/>")
    content = kept.getvalue() + b"a film of the driveway"
    assert b"driveway" not in bare(content)
    assert opened(bare(content)).info["icc_profile"] == b"color"
    assert "xmp" not in opened(bare(content)).info


def test_a_picture_without_a_day_says_none() -> None:
    for day in ("", "0000:00:00 00:00:00", "yesterday", "2026:13:45 00:00:00"):
        content = taken(LINES, day=day)
        assert look("jpeg", content).day is None
        assert {} == opened(bare(content)).getexif().get_ifd(IFD.Exif)


def chunk(name: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))


def bomb(width: int, height: int) -> bytes:
    """A PNG of some bytes that unpacks to so many pixels; W3C PNG, section 11.2."""
    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    rows = zlib.compress(bytes(1000))
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", rows) + chunk(b"IEND", b"")


GOOD = taken(LINES)
BROKEN = "the picture is damaged or cut off"
HOSTILE = {
    "half of a JPEG": (GOOD[: len(GOOD) // 2], BROKEN),
    "a JPEG's first bytes": (GOOD[:3], BROKEN),
    "half of a PNG": (taken(LINES, "PNG")[:900], BROKEN),
    "half of a WebP": (taken(LINES, "WEBP")[:900], BROKEN),
    "a bomb": (bomb(60_000, 60_000), "the picture has more than 64 million pixels; save it smaller"),
    "a little too large": (bomb(8_001, 8_001), "the picture has more than 64 million pixels; save it smaller"),
    "rows that end early": (bomb(4_000, 4_000), BROKEN),
    "a remark that unpacks without end": (
        bomb(1, 1)[:33] + chunk(b"zTXt", b"a\0\0" + zlib.compress(bytes(9_000_000))) + bomb(1, 1)[33:], BROKEN),
    "EXIF that points at itself": (
        GOOD[:2] + b"\xff\xe1\x00\x16Exif\0\0MM\0\x2a\0\0\0\x08\xff\xff\0\0" + GOOD[2:], ""),
}  # fmt: skip


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_picture_is_refused_in_a_word_or_opened_without_harm(tmp_path: Path, name: str) -> None:
    content, why = HOSTILE[name]
    (tmp_path / "a.jpg").write_bytes(content)
    assert why == why_missing(tmp_path, "a.jpg")


@pytest.mark.parametrize(
    ("content", "why"),
    [
        (b"", "the file is not a picture (JPEG, PNG or WebP)"),
        (b"GIF89a" + bytes(40), "the file is not a picture (JPEG, PNG or WebP)"),
        (b"%PDF-1.7", "the file is not a picture (JPEG, PNG or WebP)"),
        (b"\0\0\0\x18ftypheic" + bytes(40), "it is a HEIC or AVIF picture; export it as JPEG, PNG or WebP, or set the "
         "phone to save JPEG"),
        (GOOD + bytes(MOST_BYTES), "the file is larger than 32 MiB"),
    ],
    ids=["empty", "gif", "pdf", "heic", "huge"],
)  # fmt: skip
def test_what_is_no_photograph_is_refused_in_a_word(tmp_path: Path, content: bytes, why: str) -> None:
    (tmp_path / "a.jpg").write_bytes(content)
    for refused in (lambda: picture(tmp_path, "a.jpg"), lambda: picture_at(tmp_path / "a.jpg")):
        with pytest.raises(Unshown) as said:
            refused()
        assert why == str(said.value)


def test_a_webp_that_moves_is_refused() -> None:
    kept = BytesIO()
    first, second = (Image.new("RGB", (8, 8), color) for color in ("red", "blue"))
    first.save(kept, "WEBP", save_all=True, append_images=[second])
    with pytest.raises(Unshown, match="moving picture"):
        look("webp", kept.getvalue())


# --- small copies ---


@pytest.mark.parametrize("count", [1, 4, 40])
def test_all_small_copies_of_a_page_keep_within_its_budget(count: int) -> None:
    content = (kind_of(GOOD), GOOD)
    told = [copy for copy in thumbnails([content] * count, count) if isinstance(copy, str)]
    assert count == len(told)
    assert sum(map(len, told)) <= MOST_TOGETHER == 300_000


def test_where_a_page_has_no_room_it_is_said() -> None:
    noise = BytesIO()
    Image.effect_noise((640, 480), 100).save(noise, "PNG")
    (told,) = thumbnails([("png", noise.getvalue())], 1_000)
    assert "the page has no room for more; it is in the packet" == str(told)


def test_a_small_copy_stands_upright_and_tells_nothing() -> None:
    content = taken(LINES, turned=6)
    copy = opened(next(small("jpeg", content, [(200, 60)])))
    width, height = opened(content).size
    assert copy.size[1] == 200
    assert copy.size[0] < copy.size[1] < max(width, height)
    assert not copy.getexif()


def test_a_small_copy_is_a_picture_in_a_page() -> None:
    (copy,) = thumbnails([("jpeg", GOOD)], 1)
    assert isinstance(copy, str)
    head, _, data = copy.partition(",")
    assert "data:image/jpeg;base64" == head
    assert opened(base64.b64decode(data)).format == "JPEG"
