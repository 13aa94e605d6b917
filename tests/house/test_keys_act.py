"""A key of the panel carries what it does: next to nobody asks a key for its name."""

import ast
from collections.abc import Iterator

import pytest

from tests.house.sources import python_files, tree

MOST = 10
"""Of the panel's comparisons of what a key is called."""

CALLED = ("target", "name", "key", "keys", "names", "hit", "pressed")
"""What a name of a key is called where it is compared."""

PREFIXES = ("startswith", "endswith", "removeprefix")


def compared(module: ast.Module) -> Iterator[int]:
    """The lines in which the name of a key is compared with a string, or taken apart.

    A value that is declared as one of a few, a setting or a field, is no such name.
    """
    for part in module.body:
        args = [node for node in ast.walk(part) if isinstance(node, ast.arg) and node.annotation]
        typed = {arg.arg for arg in args if ast.unparse(arg.annotation or arg) != "str"}
        yield from _compared(part, frozenset(CALLED) - typed)


def _compared(part: ast.stmt, called: frozenset[str]) -> Iterator[int]:
    for node in ast.walk(part):
        if isinstance(node, ast.Compare):
            sides = (node.left, *node.comparators)
            if any(map(_string, sides)) and any(_is_called(side, called) for side in sides):
                yield node.lineno
        elif isinstance(node, ast.Match) and _is_called(node.subject, called):
            yield from (case.pattern.lineno for case in node.cases)
        elif (
            isinstance(node, ast.Call)
            and isinstance(node.func, ast.Attribute)
            and node.func.attr in PREFIXES
            and _is_called(node.func.value, called)
        ):
            yield node.lineno


def _string(node: ast.expr) -> bool:
    if isinstance(node, ast.Tuple | ast.List | ast.Set):
        return any(map(_string, node.elts))
    if isinstance(node, ast.JoinedStr):
        return True
    return isinstance(node, ast.Constant) and isinstance(node.value, str)


def _is_called(node: ast.expr, called: frozenset[str]) -> bool:
    if isinstance(node, ast.Attribute):
        return node.attr in CALLED
    return isinstance(node, ast.Name) and node.id in called


def test_next_to_nobody_compares_the_names_of_keys() -> None:
    found = [
        f"{name}:{line}"
        for name in python_files("benchcalc/panel")
        for line in compared(tree(name))
    ]
    assert len(found) <= MOST, found


@pytest.mark.parametrize(
    "line",
    [
        'target == "next"', 'target.name != "next"', 'key.target in ("a", "b")', '"a" in names',
        'name == f"yes {what}"', 'target.startswith("set ")', 'name.removeprefix("set ")',
    ],
)  # fmt: skip
def test_a_comparison_is_found(line: str) -> None:
    assert list(compared(ast.parse(line))) == [1]


def test_every_case_of_a_match_is_found() -> None:
    assert len(list(compared(ast.parse('match target:\n case "a": ...\n case "b": ...')))) == 2


def test_a_setting_by_its_type_is_no_name_of_a_key() -> None:
    shown = 'def shown(name: {}): return name == "language"'
    assert not list(compared(ast.parse(shown.format("SettingName"))))
    assert list(compared(ast.parse(shown.format("str")))) == [1]


def test_what_is_typed_or_chosen_is_no_name_of_a_key() -> None:
    assert not list(compared(ast.parse('field == "leg"; screen in ("pick",); text == ""')))


@pytest.mark.parametrize("name", ["benchcalc/panel/state/messages.py", "benchcalc/panel/update.py"])
def test_messages_are_typed(name: str) -> None:
    assert [node.lineno for node in ast.walk(tree(name))
            if isinstance(node, ast.Name) and node.id == "Any"] == []  # fmt: skip
