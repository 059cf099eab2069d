"""The words of a rule's conditions and values: what they are made of, and the names that they use.

A name is a fact, a limit, a function, a name under `where` or a word out of a closed list; which of these, binding tells.
"""

from __future__ import annotations

import functools
import re
from collections.abc import Iterator, Mapping
from typing import Any

TOKEN = re.compile(
    r"""(?P<space>\s+)
    |(?P<day>\d{4}-\d{2}-\d{2})
    |(?P<number>\d+(?:\.\d+)?)
    |(?P<word>(?<=edition\()[a-z0-9]+(?:-[a-z0-9]+)*|local\.[a-z0-9]+(?:-[a-z0-9]+)*(?:\.[A-Za-z_][A-Za-z0-9_]*)+|[A-Za-z_][A-Za-z0-9_]*(?:\.(?:[A-Za-z_][A-Za-z0-9_]*))*)
    |(?P<quoted>"[^"]*")
    |(?P<op><=|>=|==|!=|<|>)
    |(?P<mark>[-+*/()\[\],:])
    |(?P<other>[°µ%][A-Za-z]*)""",
    re.VERBOSE,
)
KEYWORDS = {"not", "in", "is", "and", "or", "when", "otherwise"}
PROSE = ("ask", "option", "on_fail", "remedy")  # what a group of conditions says to people
MOST_KEPT = 10_000


def names_in(part: Any) -> frozenset[str]:
    """The names that a part of a rule uses; prose in it, and what stands in quotes, is passed over.

    Args:
        part: A condition or a value; a list of them; a group such as `any_of`.
    """
    if isinstance(part, str):
        return frozenset(names_in_text(part))
    if isinstance(part, Mapping):
        part = [value for key, value in part.items() if key not in (*PROSE, "met")]
    return frozenset[str]().union(*map(names_in, part)) if isinstance(part, list | tuple) else frozenset()


def rules_met(part: Any) -> Iterator[str]:
    """The rules that conditions ask for by `met: rule-id`, each as often as they do."""
    if isinstance(part, Mapping):
        if isinstance(part.get("met"), str):
            yield part["met"]
        part = [value for key, value in part.items() if key not in (*PROSE, "met")]
    for one in part if isinstance(part, list | tuple) else ():
        yield from rules_met(one)


@functools.lru_cache(maxsize=MOST_KEPT)
def names_in_text(text: str) -> tuple[str, ...]:
    """The names that one condition or value uses, each once, in their order."""
    words = (token[0] for token in TOKEN.finditer(text) if token.lastgroup == "word")
    return tuple(word for word in dict.fromkeys(words) if word not in KEYWORDS)


def codes_asked(text: str) -> frozenset[str]:
    """The codes whose edition a text asks for by `edition(code)`."""
    return frozenset(re.findall(r"edition\(\s*([a-z0-9-]+)\s*\)", text))
