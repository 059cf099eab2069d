"""The same job in SI and in US units gives the same findings: every amount of each example is written anew in another unit."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from checker.engine.checker import Checker
from checker.reading import units
from checker.reading.fact_shapes import pattern
from checker.reading.files import read_file, read_text
from checker.reading.job import load
from tests.support.rulesets import ON

JOBS = sorted((Path(__file__).parent.parent / "examples" / "jobs").glob("*.json"))
SI = {
    "temperature": "degC", "temperature_difference": "delta_degC", "gauge_pressure": "kPag", "absolute_pressure": "Paa",
    "pressure_difference": "Pa", "power": "kW", "length": "mm", "area": "m2", "airflow": "m3_per_h", "mass": "kg",
    "slope": "percent_slope", "duration": "hour",
}  # fmt: skip


def in_si(data: Any, path: str, checker: Checker, written: list[str]) -> Any:
    if isinstance(data, list):
        return [in_si(item, f"{path}.{index}", checker, written) for index, item in enumerate(data)]
    leaf = checker.vocabulary.leaves.get(pattern(path))
    if leaf is None or leaf.form != "quantity" or leaf.kind not in SI:
        inside = isinstance(data, dict) and leaf is None
        return (
            {k: in_si(v, f"{path}.{k}" if path else k, checker, written) for k, v in data.items()} if inside else data
        )
    if isinstance(data, dict) and "value" not in data:
        return data
    amount, instrument = data, {}
    if isinstance(data, dict):
        amount, instrument = data["value"], {k: v for k, v in data.items() if k == "instrument"}
        amount = f"{amount} {data['unit']}" if "unit" in data else amount
    declared = units.find_unit(leaf.kind, leaf.unit)
    assert declared is not None
    base = (
        units.read_amount(amount, leaf.kind, leaf.unit)[0]
        if isinstance(amount, str)
        else units.to_base(float(amount), declared)
    )
    unit = units.all_units()[leaf.kind, SI[leaf.kind]]
    written.append(path)
    return {"value": units.from_base(base, unit), "unit": unit.name, **instrument}


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_findings_do_not_depend_on_the_units(path: Path, shipped: Checker) -> None:
    document, written = read_file(path), []
    other = read_text(json.dumps(in_si(document.data, "", shipped, written)).encode(), "si.json")
    us, si = (shipped.check_job(load(one, shipped.vocabulary), ON) for one in (document, other))
    assert [(f.rule, f.item, f.outcome, f.reason) for f in us.findings] == [
        (f.rule, f.item, f.outcome, f.reason) for f in si.findings
    ]
    assert written, "the job has amounts to write anew"


def test_evidence_does_not_depend_on_the_units(shipped: Checker) -> None:
    documents = [{"value": 30, "unit": "A"}, "30 amps", 30]
    digests = set()
    for rating in documents:
        device = {"key": "panel", "kind": "breaker", "place": "panel", "rating": rating}
        job = {
            "job_id": "a",
            "schema_version": 1,
            "circuits": [{"key": "c", "serves": "outdoor_unit", "devices": [device]}],
        }
        report = shipped.check(read_text(json.dumps(job).encode(), "a.json"), ON)
        digests |= {f.evidence_digest for f in report.findings if f.rule == "overcurrent-within-nameplate"}
    assert 1 == len(digests)
