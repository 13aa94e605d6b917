"""What the table of marks names is there, and the extras bring what each kind of run needs."""

import tomllib

from tests.house.sources import ROOT, python_files
from tests.marks import FILES, MARKS, TESTS, mark_of

EXTRAS = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]["optional-dependencies"]
BIG = {"scipy": "scipy", "OCP": "cadquery-ocp-novtk", "fcl": "python-fcl", "duckdb": "duckdb"}


def test_every_marked_file_is_there() -> None:
    assert FILES.keys() <= MARKS.keys()
    listed = [name for names in FILES.values() for name in names]
    assert sorted(set(listed)) == sorted(listed)
    assert [name for name in listed if not (TESTS / name).exists()] == []


def test_a_folder_marks_what_is_below_it_and_nothing_else() -> None:
    assert mark_of(TESTS / "crash" / "test_crash.py") == "slow"
    assert mark_of(TESTS / "crash_of_another_name.py") is None
    assert mark_of(TESTS.parent / "crash") is None


def test_only_marked_tests_load_big_libraries() -> None:
    """At their top: a helper that only marked tests import may, and so may a body that skips."""
    loading = {
        name
        for name in python_files("tests")
        for line in (ROOT / name).read_text(encoding="utf-8").splitlines()
        if line.startswith(tuple(f"{word} {big}" for word in ("import", "from") for big in BIG))
    }
    assert {name for name in loading if "/test_" in name and not mark_of(ROOT / name)} == set()
    assert set(BIG.values()) <= set(EXTRAS["check"]) and not set(BIG.values()) & set(EXTRAS["test"])
