"""The walk over a job schema, which is the one source of the vocabulary: what it says of each fact, list and section.

Only the schema's own forms are known here, not what the facts are about.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from checker.reading import units
from checker.reading.fact_shapes import ANY_AMOUNT, Bounds, Item, Leaf, ListOf, Stage

Schema = Mapping[str, Any]

FORMS = ("quantity", "flag", "text", "date", "count")


def stages_of(schema: Schema) -> tuple[Stage, ...]:
    """The stages of the work in their order, the last one being for what can be seen at any time."""
    told = schema.get("commands", {}).get("stages", ())
    stages = (Stage(**{"last_seen": one["heading"], **one}) for one in told)
    return tuple(stages) or (Stage("", "On the job", last_seen="At any time"),)


def local_leaf(fact: Mapping[str, Any]) -> dict[str, Any]:
    """The schema of a leaf out of a ruleset's `facts`: the same keywords, with `form` in place of the reference."""
    leaf = {key: value for key, value in fact.items() if key not in ("form", "possible")}
    if fact["form"] == "flag" and "alarming" in leaf:  # a ruleset holds text alone
        leaf["alarming"] = [value == "true" for value in leaf["alarming"]]
    if fact.get("possible"):
        return {**leaf, "anyOf": [{"enum": list(fact["possible"])}, {"$ref": "#/$defs/not_known"}]}
    return {**leaf, "$ref": f"#/$defs/{fact['form']}"}


class Root(NamedTuple):
    """What the top of a schema says of all its facts: shared definitions, the places of the stages, bounds by kind and unit."""

    definitions: Schema
    stages: Mapping[str, int]
    amounts: Mapping[tuple[str, str], Schema]


def root_of(schema: Schema) -> Root:
    stages = {stage.name: place for place, stage in enumerate(stages_of(schema))}
    return Root(schema.get("$defs", {}), stages, {(one["kind"], one["unit"]): one for one in schema.get("amounts", ())})


def walk(node: Schema, root: Root, path: str, word_of: str) -> Iterator[Item]:
    word_of = node.get("word_of", word_of)
    form = _form(node)
    if form:
        yield _leaf(node, form, path, word_of, root)
        return
    if "$ref" in node:
        target = root.definitions[node["$ref"].rsplit("/", 1)[-1]]
        node = {**target, **{key: value for key, value in node.items() if key != "$ref"}}
    if node.get("type") == "array":
        title, ask, keyed = node.get("title", path), node.get("ask", ""), bool(node.get("keyed"))
        on_line = tuple(f"{path}.{name}" for name in node.get("item_line", ()))
        untimed = bool(node.get("untimed"))
        key_says, clock = node.get("key_says", ""), node.get("clock", "")
        yield ListOf(path, title, ask, keyed, node.get("boxes", 0), key_says, on_line, untimed, clock)
        yield from walk(node["items"], root, path, word_of)
        return
    if node.get("type") == "object" and node.get("additionalProperties") is not False:
        yield path
    for name, child in node.get("properties", {}).items():
        if name not in ("$schema",):
            yield from walk(child, root, f"{path}.{name}", word_of)


def nodes(node: Mapping[str, Any], path: str) -> Iterator[tuple[str, Mapping[str, Any]]]:
    """Every fact, list and section with its path."""
    if path:
        yield path, node
    for name, child in (node.get("items", node)).get("properties", {}).items():
        yield from nodes(child, f"{path}.{name}" if path else name)


def stations_by_path(node: Mapping[str, Any], path: str, station: str) -> Iterator[tuple[str, str]]:
    """Every fact, list and section with the name of its station."""
    station = node.get("station", station)
    if path:
        yield path, station
    for name, child in (node.get("items", node)).get("properties", {}).items():
        yield from stations_by_path(child, f"{path}.{name}" if path else name, station)


def _form(node: Mapping[str, Any]) -> str:
    if "anyOf" in node and any("enum" in part for part in node["anyOf"]):
        return "choice"
    name = str(node.get("$ref", "")).rsplit("/", 1)[-1].removesuffix("_or_none")
    if name in FORMS:
        return name
    return "constant" if "const" in node else ""


def labels_of(schema: Schema) -> dict[str, dict[str, None]]:
    """The words that stand beside the value of a fact on the lines that hold it."""
    found: dict[str, dict[str, None]] = {}
    for line in schema.get("commands", {}).get("lines", ()):
        for path, words in line["labels"].items():
            found.setdefault(path, {}).update(dict.fromkeys(words))
    return found


def _bounds(node: Schema, form: str, root: Root) -> Bounds:
    """The bounds of a fact: its own, or those of its unit; none where the schema gives none."""
    kind, unit = ("number", "one") if form == "count" else (node.get("kind", ""), node.get("unit", ""))
    said = {
        **root.amounts.get((kind, unit), {}),
        **{name: node[name] for name in ("bounds", "usual") if name in node},
    }
    if "bounds" not in said:
        return ANY_AMOUNT
    whole = units.find_unit(kind, unit) or units.base_unit(kind)
    possible, usual = (
        sorted(units.to_base(float(end), whole) for end in ends)  # some units count downward
        for ends in (said["bounds"], said.get("usual", said["bounds"]))
    )
    return Bounds(*possible, *usual)


def _leaf(node: Schema, form: str, path: str, word_of: str, root: Root) -> Leaf:
    possible = next((tuple(part["enum"]) for part in node.get("anyOf", ()) if "enum" in part), ())
    kind = {"flag": "flag", "date": "date", "quantity": node.get("kind", ""), "count": "number"}.get(form, "word")
    low_high = node.get("range")
    said = tuple((word, tuple(values)) for word, values in node.get("said", {}).items())
    beside = f"{path.rpartition('.')[0]}.{node['beside']}" if "beside" in node else ""
    return Leaf(
        path, form, kind, node.get("title", path), node.get("description", ""), node.get("ask", ""), node.get("known", ""),
        node.get("unit", "one" if form == "count" else ""), node.get("digits", 0 if form == "count" else None),
        node.get("measured", ""), possible, bool(node.get("may_be_none")),
        (float(low_high[0]), float(low_high[1])) if low_high else None, node.get("names", ""),
        root.stages.get(node.get("known", ""), len(root.stages) - 1), word_of,
        word_of_values=tuple(node.get("word_of_values", ())),
        said=said, beside=beside, labels=tuple(node.get("beside_it", ())), either_way=bool(node.get("either_way")),
        alarming=tuple(node.get("alarming", ())), bounds=_bounds(node, form, root), ahead=bool(node.get("ahead")),
    )  # fmt: skip
