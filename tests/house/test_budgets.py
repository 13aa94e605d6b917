"""Files and functions stay short, the top of the repository stays bare."""

import ast
from collections import Counter
from pathlib import PurePath

import pytest

from tests.house.sources import ROOT, own_files, python_files, tree

FILE_LINES = 360
FUNCTION_LINES = 50
FOLDER_FILES = 25
"""Beside its ``__init__``, which says what is in it."""
CROWDED = {"benchcalc/panel/screens": 40}
"""It has a module for each screen."""

# What is over its budget, and by name how long it is. A number here may only go down, and what is
# back within its budget leaves the list.
OVER: dict[str, int] = {}

TOP_LEVEL = {
    "README.md", "DEVELOPERS.md", "pyproject.toml", "benchcalc", "assets", "tests", "systemd",
}  # fmt: skip


def file_size(name: str, text: str) -> dict[str, int]:
    """The file, if it is over its budget, with its lines."""
    count = len(text.splitlines())
    return {name: count} if count > FILE_LINES else {}


def function_sizes(name: str, module: ast.Module) -> dict[str, int]:
    """The functions over their budget, as FILE::FUNCTION, with their lines."""
    found = {}
    for node in ast.walk(module):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            count = (node.end_lineno or node.lineno) - node.lineno + 1
            if count > FUNCTION_LINES:
                found[f"{name}::{node.name}"] = count
    return found


def unlike(found: dict[str, int], listed: dict[str, int]) -> list[str]:
    """Where what is over its budget and the list of exceptions part."""
    grown = [
        f"{name}: {count} lines, {listed.get(name, 'not')} listed: split it"
        for name, count in found.items()
        if count > listed.get(name, 0)
    ]
    return grown + [
        f"{name}: within its budget now: strike it off OVER" for name in listed.keys() - found
    ]


def test_files_and_functions_keep_to_their_budgets() -> None:
    found: dict[str, int] = {}
    for name in python_files("benchcalc", "tests"):
        found |= file_size(name, (ROOT / name).read_text(encoding="utf-8"))
        found |= function_sizes(name, tree(name))
    assert unlike(found, OVER) == []


def test_a_long_file_is_found() -> None:
    assert file_size("a.py", "x\n" * FILE_LINES) == {}
    assert file_size("a.py", "x\n" * (FILE_LINES + 1)) == {"a.py": FILE_LINES + 1}


@pytest.mark.parametrize("start", ["def f():", "async def f():", "class C:\n  def f(self):"])
def test_a_long_function_is_found(start: str) -> None:
    body = "    x = 1\n"
    short, long = (ast.parse(f"{start}\n{body * n}") for n in (FUNCTION_LINES - 1, FUNCTION_LINES))
    assert function_sizes("a.py", short) == {}
    assert function_sizes("a.py", long) == {"a.py::f": FUNCTION_LINES + 1}


def test_exceptions_may_only_shrink() -> None:
    assert unlike({"a.py": 420}, {"a.py": 420}) == []
    assert unlike({"a.py": 410}, {"a.py": 420}) == []
    assert len(unlike({"a.py": 421}, {"a.py": 420})) == 1
    assert len(unlike({"a.py": 420}, {})) == 1
    assert len(unlike({}, {"a.py": 420})) == 1


def crowded(names: list[str]) -> dict[str, int]:
    """The folders of modules that hold too many, with how many."""
    folders = Counter(str(PurePath(name).parent) for name in names if "__init__" not in name)
    return {folder: count for folder, count in folders.items() if count > FOLDER_FILES}


def test_no_folder_is_crowded() -> None:
    found = crowded(python_files("benchcalc"))
    assert {folder: n for folder, n in found.items() if n > CROWDED.get(folder, 0)} == {}


def test_a_crowded_folder_is_found() -> None:
    names = ["a/__init__.py", *(f"a/m{n}.py" for n in range(FOLDER_FILES))]
    assert crowded(names) == {}
    assert crowded([*names, "a/one.py", "b/one.py"]) == {"a": FOLDER_FILES + 1}


def strangers(names: tuple[str, ...]) -> set[str]:
    """What lies at the top of the repository and has no place there."""
    first = {PurePath(name).parts[0] for name in names}
    return {name for name in first if not name.startswith(".")} - TOP_LEVEL


def test_the_top_of_the_repository_is_bare() -> None:
    assert strangers(own_files()) == set()
    assert strangers(("notes.txt", "docs/a.md", ".ci/run", "tests/a.py")) == {"notes.txt", "docs"}
