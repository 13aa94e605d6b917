"""A promise that stays out, phrases that are said somewhere, a sentence for each rule."""

import ast
import re
from collections.abc import Iterator
from string import Formatter

import pytest

from benchcalc.report.figures import angle_text, length_text
from benchcalc.report.finding_text import SAYS
from benchcalc.report.settings import LANGUAGES
from benchcalc.words.language import say, speaking
from benchcalc.words.phrases import Language, format_phrases, lacking, phrase_file, phrases
from tests.house.sources import ROOT, own_files, python_files, tree

ENGLISH = phrases("en")

THIS_FILE = "tests/house/test_words.py"

# A drawing or a calculator cannot promise it; whole words only, so that a library's names pass.
PROMISE = re.compile(r"\b(?:un)?safe(?:ly|ty)?\b", re.IGNORECASE)


def promises(text: str) -> list[str]:
    """The words in a text that promise it, each with its line."""
    return [
        f"{number}: {found.group()}"
        for number, line in enumerate(text.splitlines(), 1)
        for found in PROMISE.finditer(line)
    ]


def test_nothing_is_called_safe() -> None:
    found = []
    for name in own_files():
        data = (ROOT / name).read_bytes()
        if b"\0" not in data and name != THIS_FILE:
            text = data.decode("utf-8", errors="replace")
            found += [f"{name}:{word}" for word in promises(f"{name}\n{text}")]
    assert found == []


def test_what_is_called_safe_is_found() -> None:
    assert promises("It is Safe.\nSafety first, SAFELY; fail-safe, unsafe") == [
        "1: Safe", "2: Safety", "2: SAFELY", "2: safe", "2: unsafe",
    ]  # fmt: skip
    assert promises("yaml.CSafeLoader safe_load unsafely_named") == []


class Key:
    """The name of a phrase as code spells it: a text, or a pattern where a part is filled in."""

    def __init__(self, node: ast.Constant | ast.JoinedStr) -> None:
        parts = node.values if isinstance(node, ast.JoinedStr) else [node]
        self.line = node.lineno
        self.literal = isinstance(node, ast.Constant)
        self.pattern = re.compile(
            "".join(
                re.escape(str(part.value)) if isinstance(part, ast.Constant) else "[^.]+"
                for part in parts
            )
        )
        self.named = bool(re.match(r"[a-z]+\\?\.|[a-z]+$", self.pattern.pattern))

    def phrases(self) -> list[str]:
        """The phrases it may stand for."""
        return [name for name in ENGLISH if self.named and self.pattern.fullmatch(name)]


def texts(node: ast.AST) -> Iterator[Key]:
    """Every text in a piece of code."""
    for inner in ast.walk(node):
        if (isinstance(inner, ast.Constant) and isinstance(inner.value, str)) or (
            isinstance(inner, ast.JoinedStr)
        ):
            yield Key(inner)


def chosen(node: ast.expr) -> Iterator[Key]:
    """The texts that an expression may come to; none for a name, which is told elsewhere."""
    if isinstance(node, ast.IfExp):
        yield from chosen(node.body)
        yield from chosen(node.orelse)
    elif isinstance(node, ast.Constant | ast.JoinedStr):
        yield Key(node)


def said(module: ast.Module) -> Iterator[tuple[Key, ast.Call]]:
    """Each phrase that code says by its name."""
    for node in ast.walk(module):
        if isinstance(node, ast.Call) and node.args:
            name = getattr(node.func, "attr", getattr(node.func, "id", ""))
            if name == "say":
                yield from ((key, node) for key in chosen(node.args[0]))


def missaid(module: ast.Module) -> list[str]:
    """Phrases said that there are not, and places of a phrase that are left unfilled."""
    found = []
    for key, call in said(module):
        given = {keyword.arg for keyword in call.keywords}
        names = key.phrases()
        if not names:
            found.append(f"{key.line}: no such phrase: {key.pattern.pattern}")
        if key.literal and names and None not in given:
            places = {place for _, place, _, _ in Formatter().parse(ENGLISH[names[0]]) if place}
            found += [f"{key.line}: {names[0]}: {place} not given" for place in places - given]
    return found


def misspelt(module: ast.Module) -> list[str]:
    """Texts that look like the name of a phrase, to be said later, and are none."""
    groups = "|".join(sorted({name.partition(".")[0] for name in ENGLISH if "." in name}))
    looks = re.compile(rf"(?:{groups})(?:\.[a-z-]+)+")
    parts = {
        id(p) for one in ast.walk(module) if isinstance(one, ast.JoinedStr) for p in one.values
    }
    return [
        f"{node.lineno}: no such phrase: {node.value}"
        for node in ast.walk(module)
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
        if looks.fullmatch(node.value) and node.value not in ENGLISH and id(node) not in parts
    ]


@pytest.mark.parametrize("name", python_files("benchcalc"))
def test_what_is_said_is_a_phrase(name: str) -> None:
    assert missaid(tree(name)) + misspelt(tree(name)) == []


def test_every_phrase_is_said_somewhere() -> None:
    used: set[str] = set()
    for name in python_files("benchcalc"):
        used |= {phrase for key in texts(tree(name)) for phrase in key.phrases()}
    assert ENGLISH.keys() - used == set()


@pytest.mark.parametrize(
    ("code", "faults"),
    [
        ('say("bench.title")', 0),
        ('say("bench.titel")', 1),
        ('say(f"bench.{field}")', 0),
        ('say(f"bank.{field}")', 1),
        ('say(f"bench.{field}.hint")', 1),
        ('wording.say("bench.title" if new else "bench.none")', 0),
        ('say("bench.title" if new else "no.such")', 1),
        ('say("bench.first", missing=x)', 0),
        ('say("bench.first", **values)', 0),
        ('say("bench.first")', 1),
        ("say(word)", 0),
    ],
)
def test_a_phrase_missaid_is_found(code: str, faults: int) -> None:
    assert len(missaid(ast.parse(code))) == faults


def test_a_phrase_misspelt_in_a_table_is_found() -> None:
    assert misspelt(ast.parse('WORDS = {1: "word.good", 2: "benders.yaml"}')) == []
    assert len(misspelt(ast.parse('WORDS = {1: "word.god"}'))) == 1


def test_a_text_that_is_all_filled_in_stands_for_no_phrase() -> None:
    code = 'f"{x}"; f"{x}.{y}"; "bench"; f"bench.{x}"'
    found = [bool(key.phrases()) for key in texts(ast.parse(code)) if not key.literal]
    assert found == [False, False, True]


ALIKE = {
    "bench.material", "key.unit", "learnt.lot", "level.stop", "missing.more",
    "plan.over", "plan.status", "plan.turn.empty", "settings.size",
    "settings.units.mm", "trouble.told",
}  # fmt: skip
"""Phrases that may be alike: places, figures, unit signs, and a word that is spelt the same."""

WORDS_FOLDER = "benchcalc/words/"
WORDS_MODULES = ("__init__.py", "language.py", "phrases.py")


def test_phrases_stand_in_the_json_files_alone() -> None:
    """A phrase in a Python file would be said by nobody: write it in en.json, de.json, es.json."""
    modules = [name.removeprefix(WORDS_FOLDER) for name in python_files(WORDS_FOLDER[:-1])]
    assert [name for name in modules if name not in WORDS_MODULES] == []


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_language_says_the_same_phrases_with_the_same_places(language: Language) -> None:
    assert lacking(language) == {}
    assert phrases(language).keys() == ENGLISH.keys()


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_file_of_phrases_is_sorted_and_has_each_once(language: Language) -> None:
    """``benchcalc words LANGUAGE --take`` writes it so; two hands then seldom meet in a line."""
    assert phrase_file(language).read_text("utf-8") == format_phrases(phrases(language))


@pytest.mark.parametrize("language", ["de", "es"])
def test_no_english_is_left_over(language: Language) -> None:
    same = {name for name, phrase in phrases(language).items() if phrase == ENGLISH[name]}
    assert same - ALIKE == set()


def test_words_and_figures_follow_the_language() -> None:
    said = []
    for language in LANGUAGES:
        with speaking(language):
            said.append((say("key.next"), length_text(-173.44, "mm"), angle_text(45.0)))
    assert said == [
        ("next", "−173.4 mm", "45°"),
        ("weiter", "−173,4 mm", "45°"),
        ("seguir", "−173,4 mm", "45°"),
    ]
    assert say("key.next") == "next", "English again where nobody chose"


def rules_found(module: ast.Module) -> set[str]:
    """The rules that a core module reports: said in a Finding, or handed on to one."""
    found: set[str] = set()
    reports = False
    for node in ast.walk(module):
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "Finding":
            reports = True
            found |= {str(rule.value) for rule in node.args[1:2] if isinstance(rule, ast.Constant)}
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            found |= set(re.findall(r"^[a-z]+(?:-[a-z]+)+$", node.value))
    return found if reports else set()


def test_every_rule_has_its_sentence_and_its_headline() -> None:
    found = set().union(*(rules_found(tree(name)) for name in python_files("benchcalc/core")))
    assert found == SAYS.keys()
    headlines = {name.removeprefix("headline.") for name in ENGLISH if name.startswith("headline.")}
    assert headlines == SAYS.keys()


def test_rules_are_read_from_findings_only() -> None:
    code = 'yield_ = Finding("note", "stock", None, ()); check(1, "straight-last"); x = "far"'
    assert rules_found(ast.parse(code)) == {"stock", "straight-last"}
    assert rules_found(ast.parse('x = "straight-last"')) == set()
