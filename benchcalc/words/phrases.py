"""The phrases by name, a JSON file for each language; a file is read when its language is spoken.

Short, spoken, the trade's words; the next act is a verb. A new sentence is added to every file, and
a test compares them.
"""

import json
from functools import cache
from pathlib import Path
from typing import Literal

Language = Literal["en", "de", "es"]

OWN_PLACES = {"refused.length": {"name", "text", "why"}}
"""Where each language takes its own of the places that are filled in."""

FOLDER = Path(__file__).parent


@cache
def phrases(language: Language) -> dict[str, str]:
    """Every phrase of a language by its name."""
    found: dict[str, str] = json.loads(phrase_file(language).read_bytes())
    return found


def phrase_file(language: Language) -> Path:
    """Where the phrases of a language lie."""
    return FOLDER / f"{language}.json"


def format_phrases(by_name: dict[str, str]) -> str:
    """Phrases as their file holds them: a line for each, sorted by name."""
    return json.dumps(by_name, ensure_ascii=False, indent=1, sort_keys=True) + "\n"


def unlike(name: str, phrase: str) -> str:
    """Why a phrase cannot stand for the English one of its name, and what to do; or nothing."""
    english = phrases("en").get(name)
    if english is None:
        return "no phrase has this name: look for it in the English file"
    if not phrase.strip():
        return "it says nothing: translate it, or leave it out"
    if not phrase.isprintable():
        return "it has a line end or a sign that does not print: write it on one line"
    try:
        mine, theirs = places(phrase), places(english)
    except ValueError:
        return "a brace is left open: write places as {name}"
    if mine == theirs or (name in OWN_PLACES and mine <= OWN_PLACES[name]):
        return ""
    named = " ".join(f"{{{place}}}" for place in sorted(theirs)) or "none"
    return f"its places are not those of the English phrase: write {named}"


def lacking(language: Language) -> dict[str, str]:
    """The English phrases that a language does not say, or not with the same places."""
    there = phrases(language)
    return {
        name: english
        for name, english in phrases("en").items()
        if unlike(name, there.get(name, ""))
    }


def places(phrase: str) -> set[str]:
    """The places of a phrase that are filled in. Raises ValueError for a brace left open."""
    from string import Formatter  # for translators and tests: what is said needs none

    return {place for _, place, _, _ in Formatter().parse(phrase) if place is not None}
