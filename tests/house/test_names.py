"""One name, one meaning: no two classes of the package share a name."""

import ast
from collections import defaultdict

from tests.house.sources import python_files, tree

SHARED = {
    "Asked",
    "CopyFailed",
    "Entry",
    "Fault",
    "Field",
    "Length",
    "Line",
    "Reading",
    "Size",
    "Told",
}
"""Names that still mean two things. May only shrink."""


def test_no_two_classes_share_a_name() -> None:
    stand: dict[str, list[str]] = defaultdict(list)
    for name in python_files("benchcalc"):
        for node in ast.walk(tree(name)):
            if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
                stand[node.name].append(name)
    shared = {name: files for name, files in stand.items() if len(files) > 1}
    assert {name: files for name, files in shared.items() if name not in SHARED} == {}
    assert SHARED - set(shared) == set(), "no longer shared: off the list"
