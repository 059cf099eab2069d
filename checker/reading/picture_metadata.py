"""A picture file without what it tells besides the picture: positions, names, serial numbers, remarks.

The picture itself is not packed anew: the parts of the file that hold it are taken over byte by byte. When it was taken and how
it has to be turned are kept. What is made of a file that was made here is the same file.

Sources, all from memory: JPEG, ITU-T T.81 annex B; PNG, W3C, sections 5 and 11; WebP, RFC 9649; EXIF, CIPA DC-008.
"""

from __future__ import annotations

import re
import struct
import zlib
from collections.abc import Iterator

from checker.reading.picture_content import BROKEN, Look
from checker.reading.pictures import Unshown

# After the head of a scan: the next marker that is no stuffed byte, no restart and no filling.
NEXT_MARKER = re.compile(rb"\xff[^\x00\xd0-\xd7\xff]")
START, END, SCAN, COMMENT = 0xD8, 0xD9, 0xDA, 0xFE
JFIF_WITHOUT_A_PICTURE = 16
PNG_KEPT = (
    b"IHDR",
    b"PLTE",
    b"IDAT",
    b"IEND",
    b"tRNS",
    b"gAMA",
    b"cHRM",
    b"sRGB",
    b"iCCP",
    b"sBIT",
    b"pHYs",
    b"bKGD",
    b"cICP",
)
WEBP_KEPT = (b"VP8X", b"ICCP", b"ALPH", b"VP8 ", b"VP8L")
WEBP_EXIF, WEBP_XMP = 0x08, 0x04
ORIENTATION, EXIF_GROUP, TAKEN = 0x0112, 0x8769, 0x9003
TEXT, SHORT, LONG = 2, 3, 4


def without_metadata(kind: str, content: bytes, look: Look) -> bytes:
    """The file without metadata, but for when the picture was taken and how it has to be turned.

    Raises:
        Unshown: The file is not laid out as its kind is.
    """
    kept = _exif(look)
    parts = {"jpeg": _jpeg, "png": _png, "webp": _webp}[kind]
    try:
        return parts(content, kept)
    except (IndexError, struct.error, StopIteration):
        raise Unshown(BROKEN) from None


def _exif(look: Look) -> bytes:
    """The EXIF that is kept, as a TIFF: big-endian, one directory and at most one below it. Empty where nothing is."""
    time = look.time.encode("ascii")[:19].ljust(19)[:19] + b"\0" if look.day else b""
    entries = [_entry(ORIENTATION, SHORT, 1, struct.pack(">HH", look.turned, 0))] if look.turned != 1 else []
    if time:
        below = 8 + 2 + 12 * (len(entries) + 1) + 4
        entries.append(_entry(EXIF_GROUP, LONG, 1, struct.pack(">I", below)))
        behind = below + 2 + 12 + 4
        group = _directory([_entry(TAKEN, TEXT, len(time), struct.pack(">I", behind))]) + time
    else:
        group = b""
    return b"MM\0\x2a" + struct.pack(">I", 8) + _directory(entries) + group if entries else b""


def _directory(entries: list[bytes]) -> bytes:
    return struct.pack(">H", len(entries)) + b"".join(entries) + struct.pack(">I", 0)


def _entry(tag: int, form: int, count: int, value: bytes) -> bytes:
    return struct.pack(">HHI", tag, form, count) + value


def _jpeg(content: bytes, exif: bytes) -> bytes:
    head = b"Exif\0\0" + exif
    own = b"\xff\xe1" + struct.pack(">H", len(head) + 2) + head if exif else b""
    kept = [segment for marker, segment in _segments(content) if _is_picture(marker, segment)]
    return b"".join([b"\xff\xd8", own, *kept])


def _segments(content: bytes) -> Iterator[tuple[int, bytes]]:
    """Each marker with its segment, a scan with all that is packed in it; what follows the end is left out."""
    at = 2
    while True:
        while content[at + 1] == 0xFF:
            at += 1
        marker = content[at + 1]
        if content[at] != 0xFF:
            raise Unshown(BROKEN)
        if marker == END:
            yield marker, content[at : at + 2]
            return
        end = at + 2 + struct.unpack_from(">H", content, at + 2)[0]
        if marker == SCAN:
            following = NEXT_MARKER.search(content, end)
            end = following.start() if following else len(content)
        yield marker, content[at:end]
        at = end


def _is_picture(marker: int, segment: bytes) -> bool:
    """Whether a segment is needed to show the picture as it is: its colors are, what applications wrote is not."""
    if 0xE0 <= marker <= 0xEF:
        plain = segment[4:9] == b"JFIF\0" and len(segment) == JFIF_WITHOUT_A_PICTURE + 2
        return plain or segment[4:16] == b"ICC_PROFILE\0" or (marker == 0xEE and segment[4:9] == b"Adobe")
    return marker != COMMENT


def _png(content: bytes, exif: bytes) -> bytes:
    own = _chunk(b"eXIf", exif) if exif else b""
    kept = [whole for name, whole in _chunks(content) if name in PNG_KEPT]
    return b"".join([content[:8], kept[0], own, *kept[1:]])


def _chunk(name: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))


def _chunks(content: bytes) -> Iterator[tuple[bytes, bytes]]:
    at = 8
    while True:
        size, name = struct.unpack_from(">I4s", content, at)
        yield name, content[at : at + 12 + size]
        if name == b"IEND":
            return
        at += 12 + size


def _webp(content: bytes, exif: bytes) -> bytes:
    end = 8 + struct.unpack_from("<I", content, 4)[0]
    kept = [_plain(name, whole, exif) for name, whole in _riff(content[:end]) if name in WEBP_KEPT]
    if exif:
        kept.append(_padded(b"EXIF" + struct.pack("<I", len(exif)) + exif))
    body = b"WEBP" + b"".join(kept)
    return b"RIFF" + struct.pack("<I", len(body)) + body


def _plain(name: bytes, whole: bytes, exif: bytes) -> bytes:
    """A part of a WebP file, the flags of what it holds set to what is left of it."""
    if name != b"VP8X":
        return whole
    flags = whole[8] & ~(WEBP_EXIF | WEBP_XMP) | (WEBP_EXIF if exif else 0)
    return whole[:8] + bytes([flags]) + whole[9:]


def _riff(content: bytes) -> Iterator[tuple[bytes, bytes]]:
    at = 12
    while at + 8 <= len(content):
        name, size = struct.unpack_from("<4sI", content, at)
        yield name, _padded(content[at : at + 8 + size])
        at += 8 + size + size % 2


def _padded(part: bytes) -> bytes:
    return part + b"\0" * (len(part) % 2)
