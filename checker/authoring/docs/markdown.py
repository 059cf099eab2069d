"""The pages of rules as Markdown: the same headings and the same words as the site, for a repository or a printer."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from checker.authoring.docs.cases import Example
from checker.authoring.docs.model import HEADINGS, Docs, History, Page
from checker.authoring.docs.site import BY_STAGE, BY_SUBJECT, counts, made_for, sections_of
from checker.authoring.docs.words import Sentence
from checker.authoring.limit_words import LimitShown
from checker.findings.report import DEFERRAL

SIGNS = re.compile(r"([\\`*_\[\]<>&|~#$!])")
OF_THE_RULE = "An example with no name behind it is from the rule's own ruleset."
NOTHING = "Nothing is noted."


def files(docs: Docs) -> dict[str, str]:
    """Every file by its path in the folder."""
    texts = {
        "README.md": _text(_index(docs, "The rules by subject", BY_SUBJECT, docs.by_topic()), docs, ""),
        "stages.md": _text(_index(docs, "The rules by stage of the visit", BY_STAGE, docs.by_stage()), docs, ""),
        "review.md": _text(_review(docs), docs, ""),
    }
    links = {page.id: page for page in docs.pages}
    for page in docs.pages:
        texts[f"{page.file}.md"] = _text(_page(docs, page, links), docs, "../../")
    return texts


def plain(text: str) -> str:
    """Text that stays text: on one line, no sign of it read as Markdown or as HTML."""
    line = SIGNS.sub(r"\\\1", " ".join(text.split()))
    return re.sub(r"^(\d+)([.)])(?=\s|$)|^([-+=])", lambda m: f"{m[1]}\\{m[2]}" if m[1] else f"\\{m[3]}", line)


def code(text: str) -> str:
    """Text as it is written, in a fence longer than any run of backticks in it; a bar is not the edge of a cell."""
    line = " ".join(text.split()).replace("|", "\\|")
    fence = "`" * (max(map(len, re.findall("`+", line)), default=0) + 1)
    return f"{fence} {line} {fence}" if "`" in line else f"{fence}{line}{fence}"


def _text(lines: Iterable[str], docs: Docs, up: str) -> str:
    ways = (
        ("Rules by subject", "README.md"),
        ("By stage of the visit", "stages.md"),
        ("To review again", "review.md"),
    )
    around = " · ".join(f"[{title}]({up}{file})" for title, file in ways)
    end = ["", "---", "", plain(docs.caution), "", plain(DEFERRAL), "", plain(made_for(docs)) + ".",
           f"Made by `changeout rules docs`; do not edit. Digest of all rulesets: `{docs.digest}`."]  # fmt: skip
    return "\n".join([around, "", *lines, *end]) + "\n"


def _index(docs: Docs, heading: str, explained: str, groups: list[tuple[str, list[Page]]]) -> Iterator[str]:
    yield from (f"# {heading}", "", plain(explained))
    for name, pages in groups:
        yield from ("", f"## {plain(name)}", "")
        for page in pages:
            mark = " **life safety**" if page.life_safety else ""
            yield f"- [{plain(page.title)}]({page.file}.md){mark} ({plain(sections_of(page))}; {code(page.id)})"
    yield from ("", "## The rulesets behind these pages", "")
    yield from _table(
        ("Ruleset", "Owner", "Rules", "Digest"),
        [
            (plain(f"{r.id} {r.version}: {r.title}"), plain(r.owner), str(r.rules), code(r.digest))
            for r in docs.rulesets
        ],
    )


def _review(docs: Docs) -> Iterator[str]:
    review = docs.review
    yield from ("# To review again", "", f"The nearest day first, as of {review.on}.", "")
    rows = [(f"{due.day}{' **past**' if due.past else ''}", plain(due.what), code(due.place)) for due in review.due]
    yield from _table(("Day", "What", "Written in"), rows)
    yield from ("", "## How sure the rulesets are", "")
    yield from _table(
        ("Ruleset", "Citations", "Values of limits", "Confirmed"),
        [
            (f"{one.ruleset} {one.version}, {one.rules} rules", counts(one.citations), counts(one.values),
             f"{one.confirmed}{f', {one.lapsed} lapsed' if one.lapsed else ''}")
            for one in review.counted
        ],
    )  # fmt: skip


def _table(heads: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> Iterator[str]:
    yield f"| {' | '.join(heads)} |"
    yield "|---" * len(heads) + "|"
    yield from (f"| {' | '.join(row)} |" for row in rows)


# --- a rule ---


def _page(docs: Docs, page: Page, links: dict[str, Page]) -> Iterator[str]:
    kept = docs.kept(page)
    yield from (f"# {plain(page.title)}", "", plain(f"{page.topic}; {kept.title}."), "")
    yield plain(", ".join(page.marks)) + "."
    parts = (
        _asked(page), _when(page), [plain(page.why)], _limits(page.limits), _looked(page), _stands(page), _remedy(page, links),
        list(_each(page.bring)) or [NOTHING], [plain(page.photograph) or "No photograph is needed."],
        list(_each(page.cautions)) or ["None of its own; see the cautions at the end."], _examples(page.examples),
        _changed(page, f"ruleset {kept.id}, kept by {kept.owner}"), [f"- {plain(line)}" for line in page.sure],
    )  # fmt: skip
    for heading, part in zip(HEADINGS, parts, strict=True):
        yield from ("", f"## {heading}", "", *part)
    yield from ("", f"Rule {code(page.id)} of {kept.id} {kept.version}, digest {code(kept.digest)}.")


def _said(lines: Iterable[Sentence], indent: int = 0) -> Iterator[str]:
    for one in lines:
        written = f" {code(one.text)}" if one.text and not one.parts else ""
        note = f" Otherwise: {plain(one.note)}" if one.note else ""
        yield f"{' ' * indent}- {plain(one.words)}{written}{note}"
        yield from _said(one.parts, indent + 2)


def _asked(page: Page) -> Iterator[str]:
    if page.once_for:
        yield from (f"Judged once for each of: {plain(page.once_for.lower())}.", "")
    yield from ("All of these hold:" if len(page.asked) > 1 else "This holds:", "", *_said(page.asked))
    if page.names:
        yield from ("", "Worked out for it:", "")
        yield from (f"- **{plain(one.name)}**: {plain(one.words)} {code(one.text)}" for one in page.names)
    if page.guarded:
        yield from ("", "A measured value that is nearer its limit than the instrument can tell is measured again.")
    if page.on_fail:
        yield from ("", f"Where it fails, the report says: {plain(page.on_fail)}")


def _when(page: Page) -> Iterator[str]:
    if page.when:
        holds = "all of these hold" if len(page.when) > 1 else "this holds"
        yield from (f"It applies where {holds}:", "", *_said(page.when), "")
    else:
        yield from ("It applies to every job.", "")
    for put in page.put:
        yield from (f"It is left to the authority where this is true: {plain(put.ask)}", "", *_said([put.said]), "")
    if page.deciding_date:
        yield from (f"The date that decides which edition and values apply: {plain(page.deciding_date)}.", "")
    yield f"Last moment to see what it rests on: {page.stage[0].lower()}{page.stage[1:]}."


def _limits(limits: tuple[LimitShown, ...]) -> Iterator[str]:
    if not limits:
        yield "It has no limit."
    for limit in limits:
        yield from ("", f"**{plain(limit.title)}** {code(limit.name)}{', left to the place' if limit.open else ''}", "")
        here = [f"{plain(value.value)}{' (here)' if value.now else ''}" for value in limit.values]
        rows = zip(here, limit.values, strict=True)
        yield from _table(
            ("Value", "Holds", "Source", "How sure"),
            [(said, plain(value.holds) or "always", plain(value.source), value.sure) for said, value in rows]
            or [("no value", "–", "the authority says", "–")],
        )
        for value in limit.values:
            if value.rows:
                yield ""
                yield from _table(tuple(map(plain, value.heads)), [tuple(map(plain, row)) for row in value.rows])


def _looked(page: Page) -> Iterator[str]:
    for fact in page.looked:
        written = f" ({plain(fact.written)})" if fact.written else ""
        seen = f" {fact.seen}." if fact.seen else ""
        yield f"- **{plain(fact.title)}**{written}. {plain(fact.ask)}{seen} {code(fact.path)}"


def _stands(page: Page) -> Iterator[str]:
    rows = [
        (f"{plain(one.edition) or 'no editions'}{' (in force here)' if one.in_force else ''}",
         plain("; ".join(cited.said for cited in one.sections)) if one.holds else "not required in this edition")
        for one in page.stands
    ]  # fmt: skip
    yield from _table(("Edition", "Sections, and how sure they are"), rows)


def _each(texts: tuple[str, ...]) -> Iterator[str]:
    """Texts as paragraphs of their own."""
    for index, text in enumerate(texts):
        yield from ("", plain(text)) if index else (plain(text),)


def _remedy(page: Page, links: dict[str, Page]) -> Iterator[str]:
    for one in page.remedy:
        yield from (plain(one), "")
    if page.first:
        named = [
            f"[{plain(links[one].title)}](../../{links[one].file}.md)" if one in links else code(one)
            for one in page.first
        ]
        yield from (f"Settle first: {'; '.join(named)}.", "")
    if page.ask:
        yield from (f"To ask the authority: {plain(page.ask)}", "")
    yield plain(page.accepts)


def _examples(examples: tuple[Example, ...]) -> Iterator[str]:
    rows = []
    for one in examples:
        beside = "; ".join(filter(None, (one.setting, f"stated by {one.source}" if one.source else "")))
        given = "; ".join(f"{plain(title)}: {plain(value)}" for title, value in one.given) or "nothing recorded"
        outcome = f"**{one.outcome}**{f': {plain(one.because)}' if one.because else ''}"
        rows.append((plain(one.name) + (f" ({plain(beside)})" if beside else ""), given, outcome))
    yield from _table(("Example", "Given", "Results"), rows)
    if any(one.source for one in examples):
        yield from ("", OF_THE_RULE)


def _changed(page: Page, keeper: str) -> Iterator[str]:
    formerly = f" Formerly: {', '.join(page.formerly)}." if page.formerly else ""
    yield f"Written in {code(page.added)}, {plain(keeper)}.{formerly}"
    for one in page.releases:
        yield from ("", f"- Changed in {plain(one.version)}{f': {plain(one.why)}' if one.why else ''}")
    if not page.history and not page.releases:
        yield from ("", "Nothing has changed it.")
    for change in page.history:
        yield from _change(change)


def _change(history: History) -> Iterator[str]:
    done = history.changed
    subject = f": the limit “{plain(history.subject)}”" if history.subject else ""
    yield from ("", f"### {done.what.capitalize()} by {done.ruleset}{subject}", "", plain(done.why), "")
    holds = f" Holds {done.holds}." if done.holds else ""
    yield f"{plain(done.title)}. Ground: {plain(done.ground)}.{holds} {code(done.place)}"
    if done.stale:
        yield from ("", f"**{plain(done.stale)}: somebody has to read it again.**")
    for name, old, new in history.fields:
        yield from ("", f"{plain(name)}, before:", "", *_said(old), "", "Since:", "", *_said(new))
