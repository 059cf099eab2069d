"""`changeout.toml`: what is the same on every line that a contractor types, written once beside the jobs or above them.

    profile = "crew.json"
    equipment = ["sheets"]        # folders of manufacturers' sheets
    rules = ["our-rules"]         # folders of more rulesets
    ruleset = ["our-group"]       # rulesets to use besides those of the place
    place = "xx-alder"            # for jobs that name none
    signers = "allowed_signers"   # who may sign the releases that are judged with

File names are those seen from the folder of `changeout.toml`. An option on the line wins over what stands here.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterable
from pathlib import Path
from typing import Any, NamedTuple

from checker.problems.problem import Problem, ProblemsFound, Where, did_you_mean, refused

NAME = "changeout.toml"
SEVERAL = ("equipment", "rules", "ruleset")
FILES = ("profile", "signers")
KEYS = ("profile", *SEVERAL, "place", "signers")


class Settings(NamedTuple):
    """What a `changeout.toml` names. `file` is where it stands, as seen from the working folder; empty: there is none."""

    file: str = ""
    profile: Path | None = None
    equipment: tuple[Path, ...] = ()
    rules: tuple[Path, ...] = ()
    ruleset: tuple[str, ...] = ()
    place: str = ""
    signers: Path | None = None

    @property
    def read(self) -> tuple[Path, ...]:
        """The file itself, and all files and folders that it names."""
        named = (self.profile, self.signers, *self.equipment, *self.rules)
        return (Path(self.file), *(path for path in named if path)) if self.file else ()


def settings_for(paths: Iterable[str | Path]) -> Settings:
    """The settings for some jobs, out of the nearest `changeout.toml` in the folder of each or above it.

    Args:
        paths: Folders of jobs; the working folder counts where there are none.

    Raises:
        ProblemsFound: The file cannot be read or has mistakes, or two jobs have two different ones.
    """
    found = list(dict.fromkeys(_nearest(Path(path)) for path in (paths or [Path()])))
    if len(found) > 1:
        first, second = (_shown(file) if file else "none" for file in found[:2])
        what = f"The jobs have different settings: {first} and {second}."
        raise refused(NAME, what, "Check them one after another, or add --no-config.")
    return read(found[0]) if found[0] else Settings()


def _nearest(path: Path) -> Path | None:
    at = path.absolute()
    for folder in (at, *at.parents):
        if (folder / NAME).is_file():
            return folder / NAME
    return None


def _shown(file: Path) -> str:
    """A file as seen from the working folder."""
    try:
        return os.path.relpath(file)
    except ValueError:  # on another drive
        return str(file)


def read(file: Path) -> Settings:
    """Read a `changeout.toml`.

    Raises:
        ProblemsFound: Everything wrong with it.
    """
    import tomllib

    from checker.reading.files import decoded, read_bytes

    shown = _shown(file)
    text = decoded(read_bytes(file, shown, hint="It needs no more than a few lines."), shown)
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        line = re.search(r"line (\d+)", str(error))
        what = "This is not TOML: write a name, an equals sign, and a value in quotes."
        raise refused(_where(shown, int(line[1]) if line else 0), what, 'For example: place = "xx-alder"') from None
    problems = [problem for key, value in data.items() if (problem := _wrong(shown, text, key, value))]
    if problems:
        raise ProblemsFound(problems)
    folders = {name: tuple(_inside(file, one) for one in _list(data.get(name, []))) for name in ("equipment", "rules")}
    profile, signers = (_inside(file, data[name]) if name in data else None for name in FILES)
    return Settings(
        shown,
        profile,
        folders["equipment"],
        folders["rules"],
        tuple(_list(data.get("ruleset", []))),
        data.get("place", ""),
        signers,
    )


def _wrong(shown: str, text: str, key: str, value: Any) -> Problem | None:
    """What is wrong with one line."""
    lines = enumerate(text.splitlines(), 1)
    line = next((at for at, one in lines if re.match(rf'\s*\[*"?{re.escape(key)}\b', one)), 0)
    where = _where(shown, line)
    if key not in KEYS:
        hint = did_you_mean(key, KEYS) or f"It may name: {', '.join(KEYS)}."
        return Problem(where, f"'{key}' is not a setting.", hint)
    texts = all(isinstance(one, str) and one for one in _list(value))
    if texts and (isinstance(value, str) or (isinstance(value, list) and key in SEVERAL)):
        return None
    wanted = f'{key} = ["one", "two"]' if key in SEVERAL else f'{key} = "one"'
    return Problem(where, f"'{key}' names {'texts' if key in SEVERAL else 'one text'} in quotes.", f"Write {wanted}")


def _list(value: Any) -> list[Any]:
    return value if isinstance(value, list) else [value]


def _inside(file: Path, name: str) -> Path:
    return Path(_shown(file.parent / name))


def _where(shown: str, line: int) -> Where:
    """A line of the file; the whole file where the line is not known."""
    return Where(shown, line, 1) if line else Where(shown)
