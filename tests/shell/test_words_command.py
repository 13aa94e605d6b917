"""What a language lacks is printed to be translated, and a translation is taken back whole."""

import json
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from benchcalc import cli
from benchcalc.words import phrases as phrases_module
from benchcalc.words.language import say, speaking
from benchcalc.words.phrases import format_phrases, phrases

Told = pytest.CaptureFixture[str]


@pytest.fixture
def german(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A German file of our own that lacks two phrases and has another without its place."""
    folder = tmp_path / "words"
    shutil.copytree(phrases_module.FOLDER, folder)
    monkeypatch.setattr(phrases_module, "FOLDER", folder)
    phrases.cache_clear()
    file = folder / "de.json"
    there = json.loads(file.read_bytes())
    del there["key.next"], there["field.leg"]
    there["turn.clockwise"] = "im Uhrzeigersinn"
    file.write_text(format_phrases(there), encoding="utf-8")
    yield file
    phrases.cache_clear()


def taken(tmp_path: Path, text: str) -> list[str]:
    file = tmp_path / "done.json"
    file.write_text(text, encoding="utf-8")
    return ["words", "de", "--take", str(file)]


def test_what_a_language_lacks_is_printed_in_english(german: Path, capsys: Told) -> None:
    assert cli.main(["words", "de"]) == 0
    told = capsys.readouterr()
    lacks = {"field.leg": "leg", "key.next": "next", "turn.clockwise": "{by} clockwise"}
    assert json.loads(told.out) == lacks
    assert told.err == f"de lacks 3 of {len(phrases('en'))} phrases\n"


def test_what_a_language_lacks_is_said_in_english(german: Path) -> None:
    with speaking("de"):
        assert say("key.next") == "next" and say("field.bend") == "Biegung"


def test_a_translation_is_taken(german: Path, tmp_path: Path, capsys: Told) -> None:
    done = {"key.next": "weiter", "field.leg": "Schenkel", "turn.clockwise": "{by} rechtsherum"}
    assert cli.main(taken(tmp_path, json.dumps(done))) == 0
    phrases.cache_clear()
    there = german.read_text("utf-8")
    assert there == format_phrases(json.loads(there)) and done.items() <= json.loads(there).items()
    capsys.readouterr()
    assert cli.main(["words", "de"]) == 0
    told = capsys.readouterr()
    assert told.out == "{}\n" and told.err == f"de has all {len(phrases('en'))} phrases\n"


@pytest.mark.parametrize(
    ("text", "problems"),
    [
        ('{"key.nxt": "weiter", "key.next": " ", "turn.clockwise": "{bei} rechts"}', 3),
        ('{"key.next": "wei\\nter", "turn.clockwise": "{by rechts"}', 2),
        ('{"turn.clockwise": "rechts"}', 1),
        ('{"turn.clockwise": "{by} {0} rechts"}', 1),
        ('{"key.next": "a", "key.next": "b"}', 1),
        ('{"key.next": 3}', 1),
        ('["key.next"]', 1),
        ("{", 1),
        ("[" * 100_000, 1),
        ("", 1),
    ],
)
def test_a_file_with_a_fault_is_refused_whole(
    german: Path, tmp_path: Path, capsys: Told, text: str, problems: int
) -> None:
    before = german.read_bytes()
    assert cli.main(taken(tmp_path, text)) == 2
    told = capsys.readouterr()
    assert len(told.err.splitlines()) == problems and told.out == ""
    assert german.read_bytes() == before and list(german.parent.glob("*.new")) == []


def test_a_file_that_is_not_there_is_refused(tmp_path: Path, capsys: Told) -> None:
    assert cli.main(["words", "de", "--take", str(tmp_path / "none.json")]) == 2
    assert "none.json: No such file" in capsys.readouterr().err
