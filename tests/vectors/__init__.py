"""Values from outside, as plain files with their provenance on top, and how the tests read them."""

import csv
from pathlib import Path

HERE = Path(__file__).parent


def _lines(name: str) -> list[str]:
    text = (HERE / name).read_text(encoding="utf-8")
    return [line for line in text.splitlines() if line and not line.startswith("#")]


def rows(name: str) -> list[dict[str, str]]:
    """The rows of a .csv file by column."""
    return list(csv.DictReader(_lines(name)))


def values(name: str) -> dict[str, float]:
    """The named values of a .txt file."""
    return {key: float(value) for key, value in (line.split() for line in _lines(name))}


def last_digit(printed: str) -> float:
    """One unit in the last digit of a printed number."""
    return 10.0 ** -len(printed.partition(".")[2])
