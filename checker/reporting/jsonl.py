"""The report as JSON Lines: a line a job, and before it a line with the rules that no line before has told of.

The first line tells the rules of the first job; a later line of rules adds to it. What is in the line of a job is what the JSON
report says of it.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import orjson

from checker.findings.report import DEFERRAL
from checker.problems.problem import ProblemsFound
from checker.reporting.form import Judged, Once
from checker.reporting.json import REPORT_VERSION, RulesOnce, job_text, once_text, problems_data, text

BEGINS = f'{{"report_version":{REPORT_VERSION},"deferral":{text(DEFERRAL)},'
OF_RULES = (BEGINS + '"rules":').encode()


class JsonLines(RulesOnce):
    resumable = True

    def job(self, one: Judged) -> str:
        return BEGINS + job_text(one.report, one.known, "")[1:] + "\n"

    def tell(self, pieces: Iterable[Once]) -> str:
        found = self.new(pieces)
        return f"{BEGINS}{once_text(found, '')}}}\n" if found else ""

    def resume(self, lines: Iterable[bytes]) -> None:
        for line in lines:
            if line.startswith(OF_RULES):
                told: dict[str, Any] = orjson.loads(line)
                self.told.update((key, rule) for key, rules in told["rules"].items() for rule in rules)
                self.told.update(("", key) for key in told["cautions"])

    def unreadable(self, name: str, found: ProblemsFound) -> str:
        return BEGINS + text({"file": name, "unreadable": problems_data(found.problems)})[1:] + "\n"
