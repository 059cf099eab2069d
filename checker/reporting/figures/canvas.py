"""A picture as an SVG element to stand in a page: inert text, no styles of the page's, the same bytes every time.

The door of matplotlib. Text is never parsed as mathematics, characters that XML cannot hold are replaced, and styles are
written as attributes, so that a page's content policy and a page's other pictures are left alone.
"""

from __future__ import annotations

import io
import re
import textwrap
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, NamedTuple
from xml.etree import ElementTree

import matplotlib
from matplotlib.axes import Axes
from matplotlib.figure import Figure as Sheet
from matplotlib.text import Text

WIDTH = 4.0  # inches
SIZE = 10  # points: about 12 px on a phone 360 px wide
INK, QUIET, BLUE, RUST, GREEN = "#1a1a1a", "#505050", "#0b4f8a", "#9a2d00", "#1b6336"  # all over 4.5:1 on white
RED, AMBER = "#8a1414", "#674400"  # what fails; what is nearer its limit than the instruments can tell
FAINT, PALE_GREEN = "#d8d8d8", "#e3f1e6"

SETTINGS: Any = {
    "svg.fonttype": "none",
    "svg.hashsalt": "changeout",
    "text.parse_math": False,
    "font.family": "DejaVu Sans",  # comes with matplotlib: the same measures everywhere; written as sans-serif
    "font.size": SIZE,
    "axes.labelsize": SIZE,
    "xtick.labelsize": SIZE,
    "ytick.labelsize": SIZE,
    "axes.edgecolor": QUIET,
    "axes.labelcolor": INK,
    "xtick.color": QUIET,
    "ytick.color": QUIET,
    "xtick.labelcolor": INK,
    "ytick.labelcolor": INK,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.formatter.useoffset": False,
    "axes.formatter.limits": (-9, 9),
    "lines.linewidth": 1.6,
    "lines.markersize": 6,
}
SVG, LINK = "http://www.w3.org/2000/svg", "{http://www.w3.org/1999/xlink}href"
REFERENCE = re.compile(r"url\(#([^)]+)\)")
PLACES = {"d", "x", "y", "width", "height", "transform", "points"}  # attributes that say where something is
OF_TEXTS = {"font-family": "sans-serif", "font-size": f"{SIZE}px"}
DECIMAL = re.compile(r"-?\d+\.\d+")
NOT_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
LONGEST, LINE = 40, 60  # characters of a name that somebody gave, and of any line in a picture


# How a mark came about. It stands in the picture as a class of its element, so that a picture says what each mark is.
READ, WORKED_OUT, TABLE, NOT_MEASURED = "read", "worked-out", "table", "not-measured"
LINES = {READ: "-", WORKED_OUT: "--", TABLE: "-.", NOT_MEASURED: ":"}
OPEN_MARKS = "Filled marks and solid lines: read. Open marks and dashed lines: worked out."
NEAR = "The bar reaches over the limit: the reading is nearer its limit than the instrument can tell."


class Look(NamedTuple):
    """How a dot looks: its shape, its color, its size in points."""

    shape: str
    color: str
    size: float


# How a reading stands to its limit: each with a shape and a color of its own. `plain` is held to nothing.
PASSES, CLOSE, FAILS, PLAIN = "passes", "close", "fails", "plain"
LOOKS = {
    PASSES: Look("o", BLUE, 7),
    CLOSE: Look("D", AMBER, 7),
    FAILS: Look("X", RED, 10),
    PLAIN: Look("s", QUIET, 6),
}
CLASSES = frozenset(LINES) | frozenset(LOOKS)


class Figure(NamedTuple):
    """A picture: its title, a description that holds every number of it, a whole `<svg>` element, and its marks in words."""

    title: str
    description: str
    svg: str
    legend: str = ""


def fonts() -> Path:
    """The folder of the fonts that pictures are drawn with."""
    return Path(matplotlib.get_data_path()) / "fonts" / "ttf"


@contextmanager
def sheet(height: float) -> Iterator[tuple[Sheet, Axes]]:
    """An empty picture of a height in inches with one pair of axes; everything on it is drawn inside the `with`."""
    with matplotlib.rc_context(), warnings.catch_warnings():
        for odd in ("Glyph", "Matplotlib currently does not support", "constrained_layout not applied"):
            warnings.filterwarnings(
                "ignore", message=odd
            )  # names in letters that the measuring font lacks, or too long
        matplotlib.rcdefaults()
        matplotlib.rcParams.update(SETTINGS)
        drawn = Sheet(figsize=(WIDTH, height), layout="constrained")
        yield drawn, drawn.subplots()


def dot(axes: Axes, x: float, y: float, look: str, how: str = READ) -> None:
    """One value: filled where it was read, open where it was worked out, in the shape and color of how it stands."""
    shape, color, size = LOOKS[look]
    face = color if how == READ else "white"
    axes.plot([x], [y], shape, color=color, markersize=size, markerfacecolor=face, gid=f"{how} {look}", zorder=5)


def line(axes: Axes, start: tuple[float, float], end: tuple[float, float], color: str, how: str = READ) -> None:
    """A straight line: solid where it was read, dashed where it was worked out."""
    axes.plot(*zip(start, end, strict=True), LINES[how], color=color, gid=how)


def finished(drawn: Sheet, name: str, title: str, description: str, *legend: str) -> Figure:
    """The picture as it is handed on; called inside the `with` of its sheet.

    Args:
        name: Begins every id in it: letters, digits and '-', another one for each picture of a page.
        legend: Sentences that say what its marks mean; empty ones are left out.
    """
    title, description = plain(title), plain(description)
    for text in drawn.findobj(Text):
        assert isinstance(text, Text)
        text.set_text("\n".join(_cut(plain(line), LINE) for line in text.get_text().split("\n")))
    kept = io.StringIO()
    drawn.savefig(kept, format="svg", metadata={"Date": None, "Creator": None, "Format": None, "Type": None})
    root = ElementTree.fromstring(kept.getvalue())
    _strip(root)
    _rename(root, name)
    _shorten(root)
    _name(root, name, title, description)
    ElementTree.register_namespace("", SVG)
    return Figure(title, description, ElementTree.tostring(root, encoding="unicode"), " ".join(filter(None, legend)))


def plain(text: str) -> str:
    """Text on one line, without what XML cannot hold."""
    return " ".join(NOT_XML.sub("\ufffd", text).split())


def short(text: str) -> str:
    """A name that somebody gave, cut to what a picture has room for."""
    return _cut(plain(text), LONGEST)


def wrapped(text: str, columns: int) -> str:
    """Text in lines of at most so many characters."""
    return "\n".join(textwrap.wrap(plain(text), columns))


def spread(wanted: list[float], sizes: list[float]) -> list[float]:
    """Middles of things of these sizes along a line: where each is wanted, moved apart where two would overlap.

    Those that touch move as one block, to the middle of where its parts are wanted. `wanted` rises.
    """
    blocks: list[list[int]] = []
    for at in range(len(wanted)):
        blocks.append([at])
        while len(blocks) > 1 and _start(blocks[-2], wanted, sizes) + sum(sizes[i] for i in blocks[-2]) > _start(
            blocks[-1], wanted, sizes
        ):
            blocks[-2:] = [blocks[-2] + blocks[-1]]
    return [middle for block in blocks for middle in _middles(block, wanted, sizes)]


def _start(block: list[int], wanted: list[float], sizes: list[float]) -> float:
    """Where a block begins whose parts lie, on the mean, where they are wanted."""
    offsets = [sum(sizes[j] for j in block[:n]) + sizes[i] / 2 for n, i in enumerate(block)]
    return sum(wanted[i] - offset for i, offset in zip(block, offsets, strict=True)) / len(block)


def _middles(block: list[int], wanted: list[float], sizes: list[float]) -> Iterator[float]:
    edge = _start(block, wanted, sizes)
    for i in block:
        yield edge + sizes[i] / 2
        edge += sizes[i]


def _cut(text: str, longest: int) -> str:
    return text if len(text) <= longest else text[: longest - 1] + "…"


def _strip(root: ElementTree.Element) -> None:
    """Takes out what is said of the file, the style for a whole page, and fonts; styles become attributes."""
    for parent in list(root.iter()):
        for child in list(parent):
            if child.tag in (f"{{{SVG}}}metadata", f"{{{SVG}}}style"):
                parent.remove(child)
    for element in root.iter():
        for part in element.attrib.pop("style", "").split(";"):
            key, _, value = part.partition(":")
            if value:
                element.set(key.strip(), value.strip())
        if "font-family" in element.attrib:
            element.set("font-family", "sans-serif")
    root.attrib.update({"stroke-linejoin": "round", "stroke-linecap": "butt"})


def _rename(root: ElementTree.Element, name: str) -> None:
    """Ids begin with the picture's name; those that nothing refers to go, and those that say what a mark is become classes."""
    used: list[str] = []
    for element in root.iter():
        if LINK in element.attrib:
            element.set("href", element.attrib.pop(LINK))
        used += [element.get("href", "").removeprefix("#")]
        used += [found for value in element.attrib.values() for found in REFERENCE.findall(value)]
    short = {own: f"{name}-{number}" for number, own in enumerate(dict.fromkeys(filter(None, used)))}
    for element in root.iter():
        own = element.attrib.pop("id", "")
        if own and CLASSES.issuperset(own.split()):
            element.set("class", own)
        if own in short:
            element.set("id", short[own])
        if "href" in element.attrib:
            element.set("href", f"#{short[element.attrib['href'].removeprefix('#')]}")
        for key, value in element.attrib.items():
            element.set(key, REFERENCE.sub(lambda found: f"url(#{short[found[1]]})", value))


def _shorten(root: ElementTree.Element) -> None:
    """Places are told to a tenth of a point, what most texts have stands once, and no element or space is there for nothing.

    A page holds many pictures.
    """
    _unwrap(root)
    root.attrib.update(OF_TEXTS)
    for element in root.iter():
        if element is not root:
            for key in [key for key, value in OF_TEXTS.items() if element.get(key) == value]:
                element.attrib.pop(key)
        if element.get("transform", "").startswith("rotate(-0 "):
            element.attrib.pop("transform")
        if element.tag != f"{{{SVG}}}text":
            element.text = (element.text or "").strip() or None
        element.tail = None
        for key in PLACES & set(element.attrib):
            rounded = DECIMAL.sub(lambda found: f"{float(found[0]):.1f}".removesuffix(".0"), element.attrib[key])
            element.set(key, " ".join(rounded.split()))


def _unwrap(parent: ElementTree.Element) -> None:
    """Takes out groups that say nothing of what is in them."""
    for child in parent:
        _unwrap(child)
    plain_ones = [child for child in parent if child.tag == f"{{{SVG}}}g" and not child.attrib]
    for child in plain_ones:
        at = list(parent).index(child)
        parent.remove(child)
        for number, inner in enumerate(child):
            parent.insert(at + number, inner)


def _name(root: ElementTree.Element, name: str, title: str, description: str) -> None:
    """What a reader who does not see it is told, and a width that follows the page's."""
    root.attrib.pop("height")
    root.attrib.update({"width": "100%", "role": "img", "aria-labelledby": f"{name}-title {name}-desc"})
    for at, (tag, text) in enumerate((("title", title), ("desc", description))):
        element = ElementTree.Element(f"{{{SVG}}}{tag}", {"id": f"{name}-{tag}"})
        element.text = text
        root.insert(at, element)
