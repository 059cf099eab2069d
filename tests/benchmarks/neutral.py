"""Our engine beside others on the workload: outcomes alone, and a line of JSON to a line of JSON."""

from __future__ import annotations

import json
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

from tests.benchmarks import kleene, ours
from tests.benchmarks.building import builder
from tests.benchmarks.measure import Contender, Told, per_second
from tests.benchmarks.ours import Ours
from tests.benchmarks.peers import Peer, peers
from tests.benchmarks.workload import Workload, documents, workload

OURS = "ours"
STOCK = "json, jsonschema, zen-engine, the same builder, json"


def run(told: Told, count: int) -> None:
    """Compare, after every contender has agreed with the reference on every outcome."""
    work = workload()
    found = documents(work, count)
    with tempfile.TemporaryDirectory() as folder:
        own = Ours(work, Path(folder) / "bench")
        others = peers(work)
        _agree(own, others, work, found)
        fastest = _evaluation(told, own, others, found)
        _end_to_end(told, own, others, fastest, work, found)


def _agree(own: Ours, others: list[Peer], work: Workload, found: list[dict[str, Any]]) -> None:
    for document in found:
        expected = kleene.outcomes(work, document)
        job = own.job(document)
        assert expected == own.outcomes(job) == own.outcomes_alone(job), f"ours differs on {document['job_id']}"
        for peer in others:
            assert expected == peer.evaluate(document), f"{peer.name} differs on {document['job_id']}"
    verdicts = sum(len(kleene.outcomes(work, document)) for document in found)
    print(f"{len(found)} documents, {len(work.rules)} rules, {verdicts} outcomes: all engines agree on all of them.")


def _evaluation(told: Told, own: Ours, others: list[Peer], found: list[dict[str, Any]]) -> Peer:
    """Returns: the fastest of the engines."""
    told.heading("Outcomes alone, documents already read (second column: ours against it)")
    jobs = [own.job(document) for document in found]
    contenders = [Contender(OURS, own.evaluate, jobs)]
    contenders += [Contender(peer.name, peer.evaluate, found) for peer in others]
    rates = per_second(contenders)
    told.rates(rates, OURS, "documents")
    fastest = max((peer for peer in others if peer.engine), key=lambda peer: rates[peer.name])
    by_hand = next(peer for peer in others if not peer.engine)
    zen = next(peer for peer in others if peer.name.startswith("zen"))
    told.goal(f"times the fastest engine ({fastest.name})", rates[OURS] / rates[fastest.name], 3)
    print(f"           times zen-engine: {rates[OURS] / rates[zen.name]:.2f}")
    told.goal("times hand-written Python", rates[OURS] / rates[by_hand.name], 1.5)
    return fastest


def _end_to_end(
    told: Told, own: Ours, others: list[Peer], fastest: Peer, work: Workload, found: list[dict[str, Any]]
) -> None:
    told.heading(
        "A line of JSON, validated, findings with what was read, a line of JSON (second column: ours against it)"
    )
    lines = [json.dumps(document).encode() for document in found]
    zen = next(peer for peer in others if peer.name.startswith("zen"))
    by_hand = next(peer for peer in others if not peer.engine)
    pipelines: dict[str, Callable[[bytes], object]] = {OURS: own.end_to_end}
    for peer in dict.fromkeys((fastest, zen, by_hand)):
        pipelines[f"orjson, jsonschema-rs, {peer.name}, a builder, orjson"] = _best(peer, work)
    pipelines[STOCK] = _stock(zen, work)
    _same_findings(pipelines, lines[:50])
    rates = per_second([Contender(name, run, lines) for name, run in pipelines.items()])
    told.rates(rates, OURS, "documents")
    best = max(
        (name for name in rates if name not in (OURS, STOCK) and by_hand.name not in name), key=rates.__getitem__
    )
    told.goal("times the best pipeline around an engine", rates[OURS] / rates[best], 1)
    told.goal("times the stock pipeline", rates[OURS] / rates[STOCK], 10)


def _best(peer: Peer, work: Workload) -> Callable[[bytes], bytes]:
    import jsonschema_rs
    import orjson

    valid = jsonschema_rs.validator_for(ours.schema(work)).is_valid
    loads, dumps, build, evaluate = orjson.loads, orjson.dumps, builder(work), peer.evaluate

    def pipeline(line: bytes) -> bytes:
        document = loads(line)
        assert valid(document)
        return bytes(dumps(build(document, evaluate(document))))

    return pipeline


def _stock(peer: Peer, work: Workload) -> Callable[[bytes], bytes]:
    import jsonschema

    valid = jsonschema.Draft202012Validator(ours.schema(work)).is_valid
    build, evaluate = builder(work), peer.evaluate

    def pipeline(line: bytes) -> bytes:
        document = json.loads(line)
        assert valid(document)
        return json.dumps(build(document, evaluate(document))).encode()

    return pipeline


def _same_findings(pipelines: dict[str, Callable[[bytes], Any]], lines: list[bytes]) -> None:
    """Each pipeline tells the same rules, items, outcomes, and facts read of what did not pass.

    What to record is told by all; ours leaves out what could not change the outcome, the others name all that is missing.
    """
    for line in lines:
        said = {name: _said(json.loads(run(line))) for name, run in pipelines.items()}
        for name, found in said.items():
            assert found == said[OURS], f"{name} tells other findings"


def _said(result: dict[str, Any]) -> set[tuple[Any, ...]]:
    return {
        (
            one["rule"],
            one.get("item", ""),
            one["outcome"],
            frozenset(one.get("read", ())),
        )
        for one in result["findings"]
    }
