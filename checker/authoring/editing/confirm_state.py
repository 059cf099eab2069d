"""The record that somebody looked up a state's code: who, where and when, added to the state's file as text."""

from __future__ import annotations

from pathlib import Path

from checker.authoring.editing.file_edits import OneLine, lines_of
from checker.problems.problem import did_you_mean, refused
from checker.reading.files import read_text
from checker.rulesets.state_rulesets import StateRules
from checker.rulesets.states import LookedUp

HEADING = "confirmed:"


def with_record(text: str, file: Path, found: StateRules, record: LookedUp) -> str:
    """The text of a state's file with a record more.

    Raises:
        ProblemsFound: There is no such kind of code, or the file cannot take it as text.
    """
    if record.code not in found.codes.codes:
        known = f"One of: {', '.join(found.codes.codes)}."
        raise refused(record.code, "This is not a kind of code.", did_you_mean(record.code, found.codes.codes) or known)
    line = lines_of({"record": [OneLine(record.as_written())]}, 0)[1:]
    lines = text.splitlines()
    at = lines.index(HEADING) + 1 if HEADING in lines else len(lines)
    lines[at:at] = line if HEADING in lines else [HEADING, *line]
    made = "\n".join(lines) + "\n"
    before, after = (read_text(one.encode(), file.name).data for one in (text, made))
    if after != {**before, "confirmed": [record.as_written(), *before.get("confirmed", [])]}:
        raise refused(file, "The record does not fit into this file.", "Write it under 'confirmed:' by hand.")
    return made
