"""The picture of the page on a home screen, drawn here: a house's roof over a tick, as a PNG of any size."""

from __future__ import annotations

import struct
import zlib

GROUND, INK = (11, 58, 107), (255, 255, 255)
# Lines from point to point in a square of one, each as wide as `WIDTH`: the roof, then the tick below it.
LINES = (
    ((0.18, 0.46), (0.5, 0.2)),
    ((0.5, 0.2), (0.82, 0.46)),
    ((0.33, 0.6), (0.46, 0.74)),
    ((0.46, 0.74), (0.69, 0.48)),
)
WIDTH = 0.045

Point = tuple[float, float]


def icon(size: int) -> bytes:
    """A PNG of `size` pixels on each side."""
    rows = b"".join(b"\0" + bytes(_row(y, size)) for y in range(size))
    head = struct.pack(">IIBBBBB", size, size, 8, 2, 0, 0, 0)  # 8 bits a color, three colors
    parts = ((b"IHDR", head), (b"IDAT", zlib.compress(rows, 9)), (b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(_chunk(kind, data) for kind, data in parts)


def _chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def _row(y: int, size: int) -> list[int]:
    return [part for x in range(size) for part in _color(((x + 0.5) / size, (y + 0.5) / size), size)]


def _color(at: Point, size: int) -> tuple[int, ...]:
    """The color of a point; at an edge a mix."""
    away = min(_distance(at, *line) for line in LINES) - WIDTH
    share = min(1.0, max(0.0, 0.5 - away * size))
    return tuple(round(ink * share + ground * (1 - share)) for ink, ground in zip(INK, GROUND, strict=True))


def _distance(at: Point, begin: Point, end: Point) -> float:
    """How far a point is from a line between two others."""
    along = (end[0] - begin[0], end[1] - begin[1])
    part = ((at[0] - begin[0]) * along[0] + (at[1] - begin[1]) * along[1]) / (along[0] ** 2 + along[1] ** 2)
    part = min(1.0, max(0.0, part))
    nearest = (begin[0] + part * along[0], begin[1] + part * along[1])
    return float(((at[0] - nearest[0]) ** 2 + (at[1] - nearest[1]) ** 2) ** 0.5)
