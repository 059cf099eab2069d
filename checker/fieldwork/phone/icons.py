"""The picture of the page on a home screen, a house's roof over a tick, as a PNG of any size."""

from __future__ import annotations

import io

from PIL import Image, ImageDraw

GROUND, INK = (11, 58, 107), (255, 255, 255)
# Lines from point to point in a square of one, each as wide as `WIDTH`: the roof, then the tick below it.
LINES = (((0.18, 0.46), (0.5, 0.2), (0.82, 0.46)), ((0.33, 0.6), (0.46, 0.74), (0.69, 0.48)))
WIDTH = 0.09
FINER = 4  # drawn so many times as large, so that edges are a mix of both colors when it is made smaller


def icon(size: int) -> bytes:
    """A PNG of `size` pixels on each side."""
    side, half = size * FINER, size * FINER * WIDTH / 2
    image = Image.new("RGB", (side, side), GROUND)
    draw = ImageDraw.Draw(image)
    for line in LINES:
        points = [(x * side, y * side) for x, y in line]
        draw.line(points, fill=INK, width=round(2 * half))
        for x, y in points:  # round ends and corners
            draw.ellipse((x - half, y - half, x + half, y + half), fill=INK)
    picture = io.BytesIO()
    image.reduce(FINER).save(picture, "PNG", optimize=True)
    return picture.getvalue()
