"""Jobs written to a folder, one file each, or as JSON Lines: whole or not at all."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Sequence
from pathlib import Path

from checker.importing.rows import RowJob
from checker.problems import json_out
from checker.problems.file_names import safe_stem
from checker.problems.problem import refused

LINES = (".jsonl", ".ndjson")


def file_name(job_id: str) -> str:
    """A job's file: its id as every system takes it."""
    return f"{safe_stem(job_id)}.json"


def as_lines(jobs: Sequence[RowJob]) -> str:
    """JSON Lines: one job a line."""
    return "".join(json_out.compact(job.data) + "\n" for job in jobs)


def refuse_existing(output: Path, jobs: Sequence[RowJob], replace: bool) -> None:
    """Refuse to write over what is there already.

    Raises:
        ProblemsFound: It does, and may not be replaced.
    """
    if output.suffix in LINES:
        there = [output] if output.exists() else []
    elif output.exists() and not output.is_dir():
        raise refused(output, "This is a file, not a folder.", "Name a folder, or a file that ends in .jsonl.")
    else:
        there = [output / name for name in sorted({file_name(job.id) for job in jobs}) if (output / name).exists()]
    folders = [path for path in there if path.is_dir()]
    if folders:
        raise refused(folders[0], "There is a folder where the file would go.", "Move it away.")
    if there and not replace:
        count = f" and {len(there) - 1} more" if len(there) > 1 else ""
        raise refused(there[0], f"That file exists already{count}.", "Add --replace, or name another place.")


def write_folder(output: Path, jobs: Sequence[RowJob]) -> None:
    """One file a job. All are written beside their places first, and moved when the last one is whole.

    Raises:
        ProblemsFound: They cannot be written; then none is.
    """
    made = not output.exists()
    aside: Path | None = None
    try:
        output.mkdir(exist_ok=True)
        aside = Path(tempfile.mkdtemp(prefix=".import-", dir=output))
        for job in jobs:
            text = json_out.document(job.data)
            (aside / file_name(job.id)).write_text(text, encoding="utf-8")
        for job in jobs:
            os.replace(aside / file_name(job.id), output / file_name(job.id))
    except OSError as error:
        what = f"The jobs cannot be written: {error.strerror}."
        raise refused(output, what, "Check the folder and its permissions.") from None
    finally:
        if aside:
            shutil.rmtree(aside, ignore_errors=True)
        if made and output.is_dir() and not any(output.iterdir()):
            output.rmdir()
