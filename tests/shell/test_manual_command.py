"""``benchcalc help``: every page in a terminal; and words that are near a command."""

import re

import pytest

from benchcalc.cli import VERBS, main
from benchcalc.commands.manual import COLUMNS, in_terminal, topics

PAGES = topics()
BLOCK = "    "


def test_the_pages_are_listed(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["help"]) == 0
    said = capsys.readouterr().out
    assert all(re.search(rf"^  {name} +\S", said, re.M) for name in PAGES)


@pytest.mark.parametrize("name", PAGES)
def test_a_page_fits_a_terminal_and_loses_no_word(
    name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["help", *name.split("-")]) == 0
    said = capsys.readouterr().out
    assert "\x1b" not in said and "](" not in said and "**" not in said
    prose = [line for line in said.splitlines() if not line.startswith(BLOCK)]
    assert max(len(line) for line in prose) <= COLUMNS
    page = PAGES[name].read_text(encoding="utf-8")
    page = re.sub(r"```\w*|\]\([^)]*\)|[|#*\[]|---", " ", page)
    lost = set(re.findall(r"\w{5,}", page)) - set(re.findall(r"\w{5,}", said))
    assert lost <= set(re.findall(r"\w{5,}", _heads_of_tables(PAGES[name].read_text("utf-8"))))


def _heads_of_tables(page: str) -> str:
    """The first row of each table: left out where each row becomes a paragraph."""
    return "\n".join(re.findall(r"^(\|.*)\n\| *---", page, re.M))


def test_tables_lists_and_blocks() -> None:
    page = (
        "# A page\n\nWords that\nrun on.\n- one\n- two, [linked](x.md)\n\n"
        "```sh\n  as it is\n```\n\n| a | b |\n| --- | --- |\n| 1 | 22 |\n"
    )
    assert list(in_terminal(page)) == [
        "A page", "======", "", "Words that run on.", "- one", "- two, linked", "",
        "      as it is", "", "a  b", "1  22",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("words", "meant"),
    [
        (["help", "sensr"], "did you mean sensors"),
        (["help", "e"], "did you mean"),
        (["help", "zzz"], "write one of at-the-bench"),
        (["shet"], "did you mean sheet?"),
        (["exprot"], "did you mean export?"),
        (["zzz"], "--help lists the commands"),
    ],
)
def test_a_near_miss_is_answered(
    words: list[str], meant: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(words) == 2
    assert meant in capsys.readouterr().err


def test_help_lists_each_command_with_a_line(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        main(["--help"])
    said = capsys.readouterr().out
    assert all(re.search(rf"^  {verb} +\w+ \S", said, re.M) for verb in VERBS)
