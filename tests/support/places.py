"""Headers of invented counties, as a keeper would write them."""

from __future__ import annotations


def county_on_the_irc(name: str, title: str, since: str) -> str:
    """The `ruleset.yaml` of a county that adopted the residential code of 2021 and no other; it covers `xx-<name>`."""
    return f"""id: {name}-county
version: 1.0.0
title: {title}
owner: {name.capitalize()} County building office (invented)
owner_kind: local
covers: [xx-{name}]
uses: {{irc-mechanical: ">=1.0, <2"}}
reviewed_through: 2030-01-01
documents: {{ordinance: {name.capitalize()} County ordinance}}
adopts:
  - {{code: irc-mechanical, edition: "2021", from: {since}, counts: dates.permit_applied, citation: Ordinance 7}}
"""
