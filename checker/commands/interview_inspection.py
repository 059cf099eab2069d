"""`changeout interview --at inspection`: what came of an inspection, and the notices in the inspector's words."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from checker.commands.asking import answer_to
from checker.commands.interview_told import say
from checker.problems.problem import refused

if TYPE_CHECKING:
    from checker.fieldwork.interview import Interview

INSPECTION = "inspection"


def ask(talk: Interview) -> None:
    """Ask for inspections and record them in the interview's job, with the notices of each that asked for corrections.

    Raises:
        ProblemsFound: The job schema knows no inspections.
    """
    from checker.fieldwork import changing

    vocabulary = talk.checker.vocabulary
    listed = vocabulary.at("inspections")
    if not listed:
        raise refused("--at", "The job schema has no inspections.")
    known = len(talk.now.job.lists.get(listed, ()))
    asked = changing.question(talk.now.job, listed)
    facts = answer_to(1, asked._replace(facts=lambda answer: _with_results(talk, asked.facts(answer))))
    if not facts:
        return
    talk.record(facts)
    for index in range(known, len(talk.now.job.lists[listed])):
        result = vocabulary.at("inspections.result", index)
        leaf = vocabulary.leaf(result)
        if leaf and talk.now.job.text(result) in leaf.alarming:
            _ask_notices(talk, index)
    for line in _stands(talk):
        say(line, 3)


def _with_results(talk: Interview, facts: dict[str, Any]) -> dict[str, Any]:
    """The inspections of an answer, each with its result.

    Raises:
        NotAnAnswer: One has none.
    """
    from checker.fieldwork.prompts import NotAnAnswer
    from checker.reading.typed_input import name_of

    result = name_of(talk.checker.vocabulary.roles["inspections.result"])
    items = [one for value in facts.values() for one in (value if isinstance(value, list) else [value])]
    for item in items:
        if result not in item:
            raise NotAnAnswer(f"Say how '{item['key']}' went: its name, a colon, then day, trade and result.")
    return facts


def _ask_notices(talk: Interview, index: int) -> None:
    """Ask for the notices of one inspection, one a line, each with the rule that it is about."""
    from checker.fieldwork.prompts import Question
    from checker.reading.typed_input import name_of

    vocabulary = talk.checker.vocabulary
    notices: list[dict[str, str]] = []
    listed = vocabulary.at("inspections.corrections", index)
    words, rule = (name_of(vocabulary.roles[f"inspections.corrections.{role}"]) for role in ("words", "rule"))
    named = talk.now.job.lists[vocabulary.at("inspections")][index]
    while True:
        asked = Question(
            f"{named}: What did the inspector write? One notice, or Enter when that is all.", (), (), _said
        )
        notice = answer_to(len(notices) + 1, asked).get("said")
        if not notice:
            break
        about = _about(talk, notice)
        notices.append({"key": f"{len(notices) + 1}", words: notice, **({rule: about} if about else {})})
    if notices:
        talk.record({listed: notices})


def _said(answer: str) -> dict[str, Any]:
    return {"said": answer}


def _about(talk: Interview, notice: str) -> str:
    """The rule that a notice is about, out of those that it may be about; empty where none is named."""
    from checker.fieldwork.prompts import Question
    from checker.portfolio.notice_rules import of_place

    chain = talk.checker.chain_of(talk.now.job)
    candidates = of_place(chain, talk.checker.vocabulary).about(notice)
    if not candidates:
        say("No rule has these words. The notice is kept as it is.", 3)
        return ""
    titles = tuple(one.title for one in candidates)
    rules = dict(zip(titles, (one.rule for one in candidates), strict=True))
    asked = Question(
        "Which rule is that about? Enter where it is none of these.", titles, (), lambda title: {"rule": rules[title]}
    )
    return str(answer_to(1, asked).get("rule", ""))


def _stands(talk: Interview) -> list[str]:
    """What was recorded, and where it is told what to do about it."""
    listed = talk.checker.vocabulary.at("inspections")
    names = ", ".join(talk.now.job.lists[listed])
    return [
        f"Recorded: {names}.",
        "changeout jobs open lists what is still open; changeout jobs lessons, what to learn from the notices.",
    ]
