"""The photographs of the examples: pictures drawn from what their jobs record, so that plate, sheet and job agree.

`python -m tests.support.photographs` draws them again and `changeout photograph JOB` binds them. `tests/test_demo.py`
holds them in step with the jobs. Each picture keeps the lines that stand on it as its JPEG comment.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path
from typing import Any

import matplotlib
from PIL import Image, ImageDraw, ImageFont
from PIL.ExifTags import IFD, Base

EXAMPLES = Path(__file__).parents[2] / "examples"
FONT = Path(matplotlib.get_data_path()) / "fonts" / "ttf" / "DejaVuSansMono-Bold.ttf"

Job = dict[str, Any]


def plate_lines(job: Job) -> list[str]:
    """The outdoor unit's nameplate."""
    unit, plate = job["outdoor_unit"], job["outdoor_unit"]["nameplate"]
    circuit = next(c["nameplate"] for c in job["circuits"] if c["serves"] == "outdoor_unit")
    currents = [
        f"{name} {plate[fact]}"
        for name, fact in (("RLA", "rated_load_current"), ("FAN FLA", "fan_current"))
        if fact in plate
    ]
    return [
        f"{unit['maker'].upper()} (invented)",
        f"MODEL  {unit['model']}",
        f"SERIAL {unit['serial']}   MFD {unit['manufactured']}",
        f"REFRIGERANT {plate['refrigerant']}  {plate['factory_charge']}",
        *(["  ".join(currents)] if currents else []),
        f"MIN CIRCUIT AMPACITY {circuit['minimum_circuit_ampacity']}",
        f"MAX FUSE OR HACR BKR {circuit['maximum_breaker']}",
        f"{circuit['supply_voltage']}  1 PH  60 HZ",
        f"HIGH {plate['design_pressure_high']}  LOW {plate['design_pressure_low']}",
    ]


def coil_lines(job: Job) -> list[str]:
    """The indoor coil's plate."""
    unit, plate = job["indoor_unit"], job["outdoor_unit"]["nameplate"]
    return [
        f"{unit['maker'].upper()} (invented)",
        f"MODEL  {unit['model']}",
        f"SERIAL {unit['serial']}   MFD {unit['manufactured']}",
        f"REFRIGERANT {unit['coil_refrigerant']} ONLY",
        f"LOW {plate['design_pressure_low']}",
    ]


def gauge_lines(job: Job) -> list[str]:
    """The vacuum gauge at the last reading."""
    last = job["evacuation"]["decay_readings"][-1]
    return [last["vacuum"], last["elapsed"]]


SHOWN = {
    "outdoor_unit.nameplate": plate_lines,
    "indoor_unit.coil_refrigerant": coil_lines,
    "evacuation.decay_readings": gauge_lines,
}


def photographs() -> Iterator[tuple[Path, list[str], Job]]:
    """Every photograph that an example names: its file, the lines that stand on it, and the job."""
    for path in sorted([*EXAMPLES.glob("shop/*.json"), *EXAMPLES.glob("jobs/*.json")]):
        job = json.loads(path.read_text(encoding="utf-8"))
        for photograph in job.get("photographs", ()):
            yield path.parent / photograph["file"], SHOWN[photograph["shows"]](job), job


def drawn(lines: list[str]) -> Image.Image:
    """A gauge for two lines, a plate for more."""
    if len(lines) == 2:
        picture = Image.new("RGB", (520, 400), (42, 46, 54))
        draw = ImageDraw.Draw(picture)
        draw.rounded_rectangle((92, 52, 429, 349), 26, (30, 31, 36), (92, 92, 94), 4)
        draw.rectangle((130, 95, 390, 215), (176, 196, 160))
        number, unit = lines[0].split()
        draw.text((150, 116), number, (20, 28, 20), ImageFont.truetype(FONT, 70))
        draw.text((318, 181), unit, (20, 28, 20), ImageFont.truetype(FONT, 16))
        draw.text((150, 250), lines[1], (220, 220, 222), ImageFont.truetype(FONT, 30))
        return picture
    height = 90 + 34 * len(lines)
    picture = Image.new("RGB", (660, height), (94, 98, 88))
    draw = ImageDraw.Draw(picture)
    draw.rectangle((30, 24, 630, height - 24), (196, 198, 202), (62, 62, 64), 4)
    for x in (46, 598):
        for y in (38, height - 54):
            draw.ellipse((x, y, x + 16, y + 16), (120, 120, 122), (62, 62, 64))
    for at, line in enumerate(lines):
        draw.text((74, 46 + 34 * at), line, (26, 26, 28), ImageFont.truetype(FONT, 19 if at else 24))
    return picture.rotate(-1.4, Image.Resampling.BICUBIC, fillcolor=(94, 98, 88))


def as_jpeg(lines: list[str], day: str = "2026-09-03") -> bytes:
    kept, exif = BytesIO(), Image.Exif()
    exif.get_ifd(IFD.Exif)[Base.DateTimeOriginal] = f"{day.replace('-', ':')} 12:00:00"
    drawn(lines).save(kept, "JPEG", quality=80, comment="\n".join(lines).encode(), exif=exif)
    return kept.getvalue()


def taken(lines: list[str], kind: str = "JPEG", day: str = "2026:10:12 14:03:22", turned: int = 1) -> bytes:
    """A picture as a phone keeps it: with the day, the place, the owner's name and the phone's serial number."""
    exif = Image.Exif()
    exif[Base.Orientation], exif[Base.Artist], exif[Base.Model] = turned, "Dana Fennimore", "Larkspur 9"
    own = exif.get_ifd(IFD.Exif)
    own[Base.DateTimeOriginal], own[Base.BodySerialNumber] = day, "LK-77-0031"
    exif.get_ifd(IFD.GPSInfo).update({1: "N", 2: (40.0, 26.0, 46.0), 3: "W", 4: (79.0, 58.0, 56.0)})
    kept = BytesIO()
    drawn(lines).save(kept, kind, exif=exif, **({"comment": b"by Dana Fennimore"} if kind == "JPEG" else {}))
    return kept.getvalue()


if __name__ == "__main__":
    for file, lines, job in photographs():
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_bytes(as_jpeg(lines, job["dates"]["work_finished"]))
