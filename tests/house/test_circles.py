"""No module imports itself by way of others, for types or inside a function either."""

import ast
from pathlib import PurePath

from tests.house.sources import python_files, tree
from tests.house.test_arrows import imports

Imported = dict[str, set[str]]


def module_of(name: str) -> str:
    """The dotted name of a file of the package."""
    dotted = ".".join(PurePath(name).with_suffix("").parts)
    return dotted.removesuffix(".__init__")


def imported(modules: dict[str, ast.Module]) -> Imported:
    """What of the package each of its files imports; ``modules`` by their paths from the root."""
    names = {module_of(name) for name in modules}
    found: Imported = {}
    for name, module in modules.items():
        mine = module_of(name)
        targets = {target for target, _ in imports(module, name.removeprefix("benchcalc/"))}
        found[mine] = (targets & names) - {mine}
    return found


def reached(start: str, edges: Imported) -> set[str]:
    """Every module that a module imports, itself or by way of others."""
    found: set[str] = set()
    waiting = list(edges[start])
    while waiting:
        name = waiting.pop()
        if name not in found:
            found.add(name)
            waiting += edges[name]
    return found


def circles(edges: Imported) -> set[frozenset[str]]:
    """The modules that import each other in a circle, one set a circle."""
    ways = {name: reached(name, edges) for name in edges}
    return {
        frozenset(other for other in ways[name] if name in ways[other])
        for name in edges
        if name in ways[name]
    }


def test_no_module_imports_itself_by_way_of_others() -> None:
    modules = {name: tree(name) for name in python_files("benchcalc")}
    assert circles(imported(modules)) == set()


def test_a_circle_is_found_for_types_and_inside_functions_too() -> None:
    code = {
        "benchcalc/core/job.py": "if TYPE_CHECKING:\n    from benchcalc.core.sheet import Sheet",
        "benchcalc/core/sheet.py": "def f():\n    from benchcalc.core.shapes import drawing",
        "benchcalc/core/shapes/drawing.py": "from ..job import Job",
        "benchcalc/core/lengths.py": "from benchcalc.core.job import Units",
    }
    found = circles(imported({name: ast.parse(text) for name, text in code.items()}))
    assert found == {
        frozenset({"benchcalc.core.job", "benchcalc.core.sheet", "benchcalc.core.shapes.drawing"})
    }
