"""``benchcalc words``: which phrases a language lacks, and a translator's file taken back."""

import json
import sys
from pathlib import Path
from typing import get_args

from benchcalc.commands.parser import BAD, DONE, LACKS, parser_of
from benchcalc.words.phrases import (
    Language,
    format_phrases,
    lacking,
    phrase_file,
    phrases,
    unlike,
)

MOST_BYTES = 1_000_000


def run(words: list[str], _: Path) -> int:
    """Print what is to be translated, or take translated phrases into the language's file."""
    parser = parser_of(
        "words",
        "Print the phrases that a language lacks, in English, as a JSON file to translate; with "
        "--take put the translated phrases in.",
    )
    parser.add_argument("language", choices=get_args(Language), metavar="LANGUAGE")
    about = "a JSON file of names and phrases, as this command prints it, translated"
    parser.add_argument("--take", type=Path, metavar="FILE", help=about)
    given = parser.parse_args(words)
    if given.take:
        return _take(given.language, given.take)
    lacks, count = lacking(given.language), len(phrases("en"))
    told = f"lacks {len(lacks)} of {count} phrases" if lacks else f"has all {count} phrases"
    print(f"{given.language} {told}", file=sys.stderr)
    print(format_phrases(lacks), end="")
    return DONE


def _take(language: Language, path: Path) -> int:
    try:
        with path.open("rb") as file:
            taken = _read(file.read(MOST_BYTES + 1))
    except OSError as error:
        return _refuse([f"{path}: {error.strerror}: give a file that can be read"])
    except ValueError as error:
        return _refuse([f"{path}: {error}"])
    wrong = [f"{path}: {name}: {why}" for name in taken if (why := unlike(name, taken[name]))]
    if wrong:
        return _refuse(wrong)
    target = phrase_file(language)
    beside = target.with_suffix(".new")
    try:
        beside.write_text(format_phrases(phrases(language) | taken), encoding="utf-8")
        beside.replace(target)
    except OSError as error:
        print(f"benchcalc: {target}: {error.strerror}: nothing was taken", file=sys.stderr)
        return LACKS
    print(f"{len(taken)} phrases taken into {target}")
    return DONE


def _read(data: bytes) -> dict[str, str]:
    """Names and phrases. Raises ValueError with what is wrong and what to do."""
    if len(data) > MOST_BYTES:
        raise ValueError(f"over {MOST_BYTES} bytes: give a file of phrases")
    try:
        found = json.loads(data.decode("utf-8"), object_pairs_hook=_once)
    except UnicodeDecodeError:
        raise ValueError("no UTF-8 text: save it as UTF-8") from None
    except json.JSONDecodeError as error:
        raise ValueError(f"line {error.lineno} is no JSON: {error.msg.lower()}: mend it") from None
    except RecursionError:
        raise ValueError('nested too deeply: write {"name": "phrase"}') from None
    if not isinstance(found, dict) or not all(isinstance(text, str) for text in found.values()):
        raise ValueError('no mapping of names to phrases: write {"name": "phrase"}')
    return found


def _once(pairs: list[tuple[str, object]]) -> dict[str, object]:
    found: dict[str, object] = {}
    for name, value in pairs:
        if name in found:
            raise ValueError(f"{name} is there twice: keep one of the two")
        found[name] = value
    return found


def _refuse(sentences: list[str]) -> int:
    print("\n".join(sentences), file=sys.stderr)
    return BAD
