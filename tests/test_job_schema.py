"""The job schema against the vocabulary of its keywords, the list of units and itself; and what it lets in.

The schema is walked here on its own, without the program's reader, so that both would have to be wrong together.
"""

from __future__ import annotations

import copy
import json
import re
from collections import Counter
from pathlib import Path
from typing import Any

import jsonschema_rs
import pytest
from jsonschema import Draft202012Validator

from checker.reading import units
from checker.reading import vocabulary as facts
from checker.reading.files import read_text
from checker.reading.job_schema import schema_problems
from tests.support.job_schema import LEAVES, LISTS, NODES, QUANTITIES, SCHEMA

SCHEMAS = Path(__file__).parents[1] / "schemas"
VOCABULARY: dict[str, Any] = json.loads((SCHEMAS / "vocabulary.schema.json").read_text(encoding="utf-8"))

WORD = re.compile(r"[a-z0-9_]+|[A-Z]{2}|R-\d+[A-Za-z]?|[1-4]/0")
LEAST = {"job_id": "J-1", "schema_version": 1}


# --- the schema and the meta-schema ----------------------------------------------------------------------------------


def test_the_vocabulary_is_a_json_schema() -> None:
    Draft202012Validator.check_schema(VOCABULARY)


def test_the_job_schema_uses_the_keywords_as_the_vocabulary_says() -> None:
    assert SCHEMA["$schema"] == VOCABULARY["$id"]
    keywords = jsonschema_rs.validator_for(VOCABULARY)
    assert [f"{e.instance_path}: {e.message}" for e in keywords.iter_errors(SCHEMA)] == []


def elevation(schema: dict[str, Any]) -> Any:
    return schema["properties"]["site"]["properties"]["elevation"]


MISUSED = {
    "a stage that is not one": lambda s: elevation(s).update(known="at lunch"),
    "no stage": lambda s: elevation(s).pop("known"),
    "a station that is no name": lambda s: elevation(s).update(station="On the roof"),
    "stations without headings": lambda s: s["commands"]["stations"][0].pop("heading"),
    "no title": lambda s: elevation(s).pop("title"),
    "an empty title": lambda s: elevation(s).update(title=" "),
    "no description": lambda s: elevation(s).pop("description"),
    "no question": lambda s: elevation(s).pop("ask"),
    "a question that asks nothing": lambda s: elevation(s).update(ask="Elevation."),
    "a quantity without a unit": lambda s: elevation(s).pop("unit"),
    "a quantity without a kind": lambda s: elevation(s).pop("kind"),
    "a quantity without digits": lambda s: elevation(s).pop("digits"),
    "digits as text": lambda s: elevation(s).update(digits="0"),
    "a range of one number": lambda s: elevation(s).update(range=[0]),
    "a range of words": lambda s: elevation(s).update(range=["low", "high"]),
    "none allowed by the keyword alone": lambda s: elevation(s).update(may_be_none=True),
    "none allowed by the form alone": lambda s: elevation(s).update({"$ref": "#/$defs/quantity_or_none"}),
    "none denied in words": lambda s: elevation(s).update(may_be_none=False),
    "a unit on a yes-or-no fact": lambda s: s["properties"]["scope"]["properties"]["ducts"].update(
        unit="ft", kind="length", digits=0
    ),
    "a word list without a question": lambda s: s["properties"]["site"]["properties"]["state"].pop("ask"),
    "alarming values that are numbers": lambda s: elevation(s).update(alarming=[3]),
    "no alarming value": lambda s: elevation(s).update(alarming=[]),
    "a keyed list whose items need no key": lambda s: s["properties"]["circuits"]["items"].pop("required"),
    "a keyed list that is not a list": lambda s: s["properties"]["circuits"].update(type="object"),
    "keyed as text": lambda s: s["properties"]["circuits"].update(keyed="yes"),
    "a list without a question": lambda s: s["properties"]["circuits"].pop("ask"),
}


def few_facts() -> dict[str, Any]:
    """The job schema with those facts alone that are misused above, for quickness."""
    few = copy.deepcopy(SCHEMA)
    sections = few["properties"]
    few["properties"] = {name: sections[name] for name in ("job_id", "schema_version", "site", "scope", "circuits")}
    circuit = sections["circuits"]["items"]
    for section, facts_kept in (
        (sections["site"], ("elevation", "state")),
        (sections["scope"], ("ducts",)),
        (circuit, ("key",)),
    ):
        section["properties"] = {name: section["properties"][name] for name in facts_kept}
    return few


def test_a_keyword_used_wrongly_is_refused() -> None:
    validator = jsonschema_rs.validator_for(VOCABULARY)
    assert validator.is_valid(few_facts())
    let_in = []
    for name, misuse in MISUSED.items():
        wrong = few_facts()
        misuse(wrong)
        if validator.is_valid(wrong):
            let_in.append(name)
    assert [] == let_in


STAGES = [stage["name"] for stage in SCHEMA["commands"]["stages"]]
OFF = {
    "a stage that is not one": (
        lambda s: elevation(s).update(known="at_lunch"),
        "'at_lunch' is not a stage of the work.",
    ),
    "a station that is not one": (lambda s: elevation(s).update(station="roof"), "'roof' is not a station."),
    "an instrument that is not one": (
        lambda s: elevation(s).update(measured="guess"),
        "'guess' is not a kind of instrument that a job lists.",
    ),
    "a unit that is not one": (lambda s: elevation(s).update(unit="league"), "'league' is not a unit of length."),
    "a role given twice": (lambda s: elevation(s).update(role="place"), "Two facts have the role 'place'."),
}


@pytest.mark.parametrize(("misuse", "said"), OFF.values(), ids=OFF.keys())
@pytest.mark.long
def test_a_word_of_the_schema_that_is_none_is_told_with_its_place(misuse: Any, said: str) -> None:
    wrong = copy.deepcopy(SCHEMA)
    misuse(wrong)
    document = read_text(json.dumps(wrong, indent=1).encode(), "job.schema.json")
    (problem,) = schema_problems(document)
    assert said == problem.what
    assert "elevation" in (problem.where.pointer or "")


def test_the_shipped_schema_has_no_such_word() -> None:
    assert [] == schema_problems(read_text(json.dumps(SCHEMA).encode(), "job.schema.json"))


def test_the_program_reads_the_same_facts_and_lists() -> None:
    vocabulary = facts.Vocabulary(SCHEMA)
    assert {path.replace("[]", "") for path in LEAVES} | {"schema_version"} == set(vocabulary.leaves)
    assert {path.replace("[]", "") for path in LISTS} == set(vocabulary.lists)
    assert {"known_by", "local"} == vocabulary.free


# --- the facts -------------------------------------------------------------------------------------------------------


def test_a_complete_job_has_some_hundreds_of_facts() -> None:
    assert len(LEAVES) >= 200


def test_a_fact_says_what_it_is_and_when_it_can_be_seen() -> None:
    for path, leaf in LEAVES.items():
        assert all(leaf[keyword].strip() for keyword in ("title", "description", "ask")), path
        assert leaf["ask"].endswith("?"), path
        assert leaf["description"].endswith("."), path
        assert leaf["known"] in STAGES, path


def near(path: str) -> str:
    """The station of a fact, looked for upwards from it."""
    steps = path.replace("[]", ".[]").split(".")
    around = (NODES.get(".".join(steps[:n]).replace(".[]", "[]"), {}) for n in range(len(steps), 0, -1))
    return next((node["station"] for node in around if "station" in node), "")


def test_every_fact_and_list_has_a_station_its_own_or_of_what_is_around_it() -> None:
    stations = [station["name"] for station in SCHEMA["commands"]["stations"]]
    vocabulary = facts.Vocabulary(SCHEMA)
    assert [] == [path for path in (*LEAVES, *LISTS) if near(path) not in stations]
    assert {} == {
        path: vocabulary.station(path.replace("[]", "")).name
        for path in (*LEAVES, *LISTS)
        if vocabulary.station(path.replace("[]", "")).name != near(path)
    }
    assert {near(path) for path in LEAVES} == set(stations)  # none is empty


def test_stations_come_in_the_order_in_which_the_schema_lists_them() -> None:
    vocabulary = facts.Vocabulary(SCHEMA)
    assert [station["heading"] for station in SCHEMA["commands"]["stations"]] == [
        s.heading for s in vocabulary.stations
    ]
    assert list(range(len(vocabulary.stations))) == [station.place for station in vocabulary.stations]
    assert "disconnect" == vocabulary.station("circuits.0.segments.2.size").name
    assert "panel" == vocabulary.station("circuits.0.devices.0.rating").name


@pytest.mark.parametrize("left_out", ["flood_zone", "adopted"])
def test_a_fact_or_list_without_a_station_is_told(left_out: str) -> None:
    wrong = copy.deepcopy(SCHEMA)
    site = wrong["properties"]["site"]
    del site["station"]
    for name, fact in site["properties"].items():
        if name != left_out:
            fact.setdefault("station", "job")
    told = [problem.what for problem in schema_problems(read_text(json.dumps(wrong).encode(), "job.schema.json"))]
    assert f"No station is named for 'site.{left_out}'." == told[0]


def test_a_schema_without_stations_has_one_for_all() -> None:
    plain = copy.deepcopy(SCHEMA)
    del plain["commands"]["stations"]
    vocabulary = facts.Vocabulary(plain)
    assert {""} == {vocabulary.station(path.replace("[]", "")).name for path in LEAVES}


def test_a_unit_is_in_the_list_of_units_under_its_kind() -> None:
    for path, leaf in QUANTITIES.items():
        assert (leaf["kind"], leaf["unit"]) in units.all_units(), path


def test_readings_of_one_instrument_share_the_kind_of_their_accuracy() -> None:
    kinds: dict[str, set[str]] = {}
    for leaf in QUANTITIES.values():
        if "measured" in leaf:
            kinds.setdefault(leaf["measured"], set()).add(units.DIFFERENCE_OF.get(leaf["kind"], leaf["kind"]))
    assert {measured: found for measured, found in kinds.items() if len(found) > 1} == {}


def test_no_two_facts_of_a_section_have_the_same_title() -> None:
    titles = Counter((re.split(r"[.\[]", path)[0], leaf["title"].lower()) for path, leaf in LEAVES.items())
    assert [title for title, times in titles.items() if times > 1] == []


def test_a_range_runs_upwards() -> None:
    ranges = {path: leaf["range"] for path, leaf in QUANTITIES.items() if "range" in leaf}
    assert [path for path, (low, high) in ranges.items() if not low < high] == []
    assert "site.elevation" in ranges


def test_names_are_snake_case_and_words_of_a_list_are_distinct() -> None:
    last = {path.rstrip("[]").rsplit(".", 1)[-1] for path in NODES if path not in ("", "$schema")}
    assert [name for name in last if not re.fullmatch(r"[a-z][a-z0-9_]*", name)] == []
    for path, leaf in LEAVES.items():
        words = [word for part in leaf.get("anyOf", ()) for word in part.get("enum", ())]
        assert len(words) == len(set(words)), path
        assert [word for word in words if not WORD.fullmatch(word)] == [], path


def test_nothing_in_it_promises_an_official_yes() -> None:
    assert re.findall(r"\b(?:approved|compliant|certified)\b", json.dumps(SCHEMA), re.IGNORECASE) == []


# --- objects and lists -----------------------------------------------------------------------------------------------


def test_every_object_is_closed_but_the_one_for_local_facts() -> None:
    objects = {path: node for path, node in NODES.items() if node.get("type") == "object"}
    closed = [path for path, node in objects.items() if "enum" in node.get("propertyNames", {})]
    assert closed == ["known_by"]
    left = [path for path, node in objects.items() if node.get("additionalProperties") is not False]
    assert [path for path in left if path not in closed] == ["local"]


def test_nothing_is_required_but_the_job_and_the_keys_of_items() -> None:
    required = {path: node["required"] for path, node in NODES.items() if "required" in node}
    assert required.pop("") == ["job_id", "schema_version"]
    assert {f"{path}[]": ["key"] for path, node in LISTS.items() if node.get("keyed")} == required


def test_a_list_is_either_keyed_or_of_readings() -> None:
    assert [path for path, node in LISTS.items() if ("keyed" in node) == ("readings" in node)] == []


# --- jobs ------------------------------------------------------------------------------------------------------------


def with_site(**site: Any) -> dict[str, Any]:
    return {**LEAST, "site": site}


def with_circuit(**circuit: Any) -> dict[str, Any]:
    return {**LEAST, "circuits": [{"key": "condenser", **circuit}]}


WELL_FORMED: dict[str, Any] = {
    "nothing recorded": LEAST,
    "an editor's line": {"$schema": "schemas/job.schema.json", **LEAST},
    "a plain number": with_site(elevation=820),
    "text with a unit": with_site(elevation="250 m"),
    "a number, a unit and an instrument": {
        **LEAST, "charge": {"liquid_pressure": {"value": 340.5, "unit": "psig", "instrument": "g1"}}
    },
    "a vacuum": {**LEAST, "recovery": {"level": "-3 psig"}},
    "not known": with_site(elevation={"not_known": "no map at hand"}),
    "none where there may be none": with_circuit(nameplate={"maximum_fuse": {"none": "plate allows breakers only"}}),
    "a yes": with_site(flood_zone=False),
    "a day": {**LEAST, "dates": {"work_started": "2026-05-04"}},
    "a day between two": {**LEAST, "outdoor_unit": {"manufactured": {"between": ["2024-11-01", "2024-11-30"]}}},
    "a count": with_circuit(nameplate={"poles": 2}),
    "a word of a list": with_site(state="OH"),
    "a word of a list not known": with_site(state={"not_known": "address to be confirmed"}),
    "a list looked at and empty": {**LEAST, "circuits": []},
    "a list in a list": with_circuit(devices=[{"key": "panel", "rating": "30 A"}]),
    "readings": {
        **LEAST, "evacuation": {"decay_readings": [{"elapsed": 0, "vacuum": 380}, {"elapsed": 10, "vacuum": 430}]}
    },
    "local facts": {**LEAST, "local": {"rivermouth": {"anchor_sheet": True}}},
}  # fmt: skip

ILL_FORMED: dict[str, Any] = {
    "no job number": {"schema_version": 1},
    "no version": {"job_id": "J-1"},
    "another version": {**LEAST, "schema_version": 2},
    "a job number that is not known": {**LEAST, "job_id": {"not_known": "lost"}},
    "an empty job number": {**LEAST, "job_id": " "},
    "null": with_site(elevation=None),
    "a name not in the list": with_site(elevatoin=820),
    "a section not in the list": {**LEAST, "sites": {}},
    "a yes as a number": with_site(elevation=True),
    "a yes in quotes": with_site(flood_zone="yes"),
    "text where a unit should be": with_site(elevation="high up"),
    "an object with another key": with_site(elevation={"value": 820, "units": "ft"}),
    "an object without a value": with_site(elevation={"unit": "ft"}),
    "a value in quotes": with_site(elevation={"value": "820"}),
    "a reason that is empty": with_site(elevation={"not_known": ""}),
    "two reasons": with_circuit(nameplate={"maximum_fuse": {"not_known": "a", "none": "b"}}),
    "none where it cannot be": with_site(elevation={"none": "flat country"}),
    "none for a word that cannot be": with_site(state={"none": "at sea"}),
    "a word not in the list": with_site(state="Ohio"),
    "a day the other way round": {**LEAST, "dates": {"work_started": "05/04/2026"}},
    "a thirteenth month": {**LEAST, "dates": {"work_started": "2026-13-01"}},
    "between one day": {**LEAST, "dates": {"work_started": {"between": ["2026-05-04"]}}},
    "half a pole": with_circuit(nameplate={"poles": 1.5}),
    "fewer than no poles": with_circuit(nameplate={"poles": -1}),
    "an item without a key": {**LEAST, "circuits": [{"serves": "furnace"}]},
    "an item whose key is not known": {**LEAST, "circuits": [{"key": {"not_known": "why"}}]},
    "one item in place of a list": {**LEAST, "circuits": {"key": "condenser"}},
    "a list as text": {**LEAST, "circuits": "none"},
    "a job that is a list": [LEAST],
}


@pytest.mark.parametrize("job", WELL_FORMED.values(), ids=WELL_FORMED.keys())
def test_a_well_formed_job_is_let_in(job: Any) -> None:
    assert [f"{e.json_path}: {e.message}" for e in Draft202012Validator(SCHEMA).iter_errors(job)] == []


@pytest.mark.parametrize("job", ILL_FORMED.values(), ids=ILL_FORMED.keys())
def test_an_ill_formed_job_is_refused(job: Any) -> None:
    assert not Draft202012Validator(SCHEMA).is_valid(job)
