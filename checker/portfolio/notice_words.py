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


def gist(words: str) -> frozenset[str]:
    """The words that carry what is said, without their endings; the whole text where there are none."""
    plain = unicodedata.normalize("NFKC", words).casefold()
    return frozenset(_stem(word) for word in WORD.findall(plain) if word not in SMALL) or frozenset([plain.strip()])


def alike(one: frozenset[str], other: frozenset[str]) -> float:
    """The share of words that two wordings have in common: 0 none, 1 all."""
    return len(one & other) / len(one | other)


def _stem(word: str) -> str:
    for ending, least in (("ing", 4), ("ed", 4), ("s", 3)):
        if word.endswith(ending) and len(word) - len(ending) >= least and not word.endswith("ss"):
            return word.removesuffix(ending)
    return word
