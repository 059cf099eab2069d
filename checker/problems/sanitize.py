"""Words fit to print; and what the readers of YAML and JSON say of a mistake → plain words, and what to do about it."""

from __future__ import annotations

YAML = {
    "mapping values are not allowed": ("There is a ': ' inside a text.", "Put the whole text in quotes."),
    "did not find expected ',' or ']'": ("A list that begins with [ is not closed.", "Close it with ]."),
    "did not find expected ',' or '}'": ("A group that begins with { is not closed.", "Close it with }."),
    "did not find expected key": (
        "This line does not fit the lines above it.",
        "Look at its indent, and for an open quote.",
    ),
    "did not find expected '-'": ("This line does not fit the list above it.", "Look at its indent and its '- '."),
    "found character that cannot start": (
        "A text cannot begin with this character.",
        "Put it in quotes; indent with spaces.",
    ),
    "found unexpected end of stream": ("A quote is opened and never closed.", "Close it."),
    "could not find expected ':'": (
        "This line is neither 'name: value' nor '- item'.",
        "Look at its indent and colon.",
    ),
}
JSON = {
    "Expecting ',' delimiter": (
        "A comma or a closing bracket is missing before this.",
        "Each entry of a group but the last ends in a comma.",
    ),
    "Expecting property name": (
        "A name in double quotes is missing here.",
        'Write "name": value, and no comma after the last one.',
    ),
    "Illegal trailing comma": ("There is a comma after the last one of a group.", "Take the comma out."),
    "Expecting ':' delimiter": ("A colon is missing after the name.", 'Write "name": value.'),
    "Expecting value": (
        "A value is missing here, or a text is without its double quotes.",
        'Write "text", a number, true or false.',
    ),
    "Unterminated string": (
        "The text that begins here has no closing quote, and nothing comes after it.",
        'End it with "; or get the file again, if it broke off.',
    ),
    "Invalid control character": ("There is a line break or a tab inside a text.", "Write the text on one line."),
    "Invalid \\escape": ("There is a backslash inside a text.", "Write it twice, or use /."),
    "Extra data": ("There is something after the end of the job.", "A file holds one job: take the rest out."),
}


def inert(text: str) -> str:
    """A text as it may be printed: without signs that steer a terminal, its lines kept."""
    if text.isprintable():
        return text
    return "".join(sign if sign.isprintable() or sign == "\n" else " " for sign in text)


def in_case(condition: str, after_another: bool, what: str) -> str:
    """One of several things to do, with the words of its condition before it where that is not known."""
    begins = f"If {condition}: " if condition else "Otherwise: " if after_another else ""
    return f"{begins}{what}"


def of_yaml(message: str, at: str = "") -> tuple[str, str]:
    """What is wrong and what to do, for what YAML's reader said of the text that begins at a place."""
    if at.startswith("\t"):
        return "There is a tab here.", "Indent with spaces, two for each step."
    fitting = (words for start, words in YAML.items() if message.startswith(start))
    return next(
        fitting, ("The line cannot be read as YAML.", "Look at the indents and quotes, here and one line above.")
    )


def of_json(message: str, at: str = "") -> tuple[str, str]:
    """What is wrong and what to do, for what JSON's reader said of the text that begins at a place."""
    if at.startswith(("//", "/*", "#")):
        return "This is not JSON: there are no comments in it.", "Take the comment out."
    if not at.strip() and message.startswith(("Expecting", "Illegal")):
        return (
            "This is not JSON: it breaks off here.",
            "Get the file again, whole; or write what is missing and close it.",
        )
    fitting = (words for start, words in JSON.items() if message.startswith(start))
    what, hint = next(fitting, ("It cannot be read.", "Look at the commas and the quotes."))
    return f"This is not JSON: {what[0].lower()}{what[1:]}", hint


def low(title: str) -> str:
    """A title inside a sentence: its first letter small, unless it begins with capitals."""
    return title if title[:2].isupper() else title[0].lower() + title[1:]
