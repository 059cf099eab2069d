"""Words of notices that say much the same: like words in any order, small words and numbers left out."""

from __future__ import annotations

import re
import unicodedata

WORD = re.compile(r"[^\W\d_]+")
SMALL = frozenset(
    ("a", "an", "and", "are", "as", "at", "be", "been", "by", "for", "from", "has", "have", "in", "is", "it", "its", "must",
     "need", "of", "on", "or", "per", "please", "provide", "provided", "required", "require", "shall", "should", "that",
     "the", "there", "this", "to", "was", "were", "where", "will", "with")
)  # fmt: skip


def stems(words: str) -> frozenset[str]:
    """The words that carry what is said, without their endings."""
    plain = unicodedata.normalize("NFKC", words).casefold()
    return frozenset(_stem(word) for word in WORD.findall(plain) if word not in SMALL)


def gist(words: str) -> frozenset[str]:
    """The stems of a wording; the whole text where there are none."""
    return stems(words) or frozenset([unicodedata.normalize("NFKC", words).casefold().strip()])


def alike(one: frozenset[str], other: frozenset[str]) -> float:
    """The share of words that two wordings have in common: 0 none, 1 all."""
    return len(one & other) / len(one | other)


def _stem(word: str) -> str:
    for ending, least in (("ing", 4), ("ed", 4), ("es", 4), ("s", 3)):
        if word.endswith(ending) and len(word) - len(ending) >= least and not word.endswith("ss"):
            word = word.removesuffix(ending)
            break
    short = word[:-1] if word[-1:] == word[-2:-1] and len(word) > 4 else word  # labelled, fitted
    return short.removesuffix("e") if len(short) > 4 else short
