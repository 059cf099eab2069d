"""Whether a log is SARIF, by the schema of OASIS."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema_rs

STANDARDS = Path(__file__).parents[1] / "standards"
SARIF = json.loads((STANDARDS / "sarif-2.1.0.json").read_text(encoding="utf-8"))


def sarif_faults(log: Any) -> list[str]:
    return [error.message for error in jsonschema_rs.validator_for(SARIF).iter_errors(log)]
