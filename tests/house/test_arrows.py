"""Imports go down only, and each library has the one file that may know it."""

import ast
import sys
from collections.abc import Iterator
from pathlib import PurePath
from typing import NamedTuple

import pytest

from tests.house.sources import PACKAGE, python_files, tree

# What of ours each room may import; a name stands for itself and for all below it.
ROOMS: dict[str, tuple[str, ...]] = {
    "core": ("benchcalc.core",),
    "words": ("benchcalc.words",),
    "sensor": ("benchcalc.sensor", "benchcalc.core.frozen"),
    "runlog": (
        "benchcalc.runlog",
        "benchcalc.core.frozen",
        "benchcalc.core.serialize",
        "benchcalc.core.one_line",
    ),
    "jobfile": ("benchcalc.core", "benchcalc.sensor", "benchcalc.jobfile"),
    "files": ("benchcalc.core", "benchcalc.sensor", "benchcalc.jobfile", "benchcalc.files"),
    "report": ("benchcalc.core", "benchcalc.words", "benchcalc.report"),
    "panel": (
        "benchcalc.core",
        "benchcalc.words",
        "benchcalc.jobfile",
        "benchcalc.report",
        "benchcalc.panel",
    ),
    "shell": (
        "benchcalc.core",
        "benchcalc.words",
        "benchcalc.sensor",
        "benchcalc.runlog",
        "benchcalc.jobfile",
        "benchcalc.files",
        "benchcalc.report",
        "benchcalc.panel",
        "benchcalc.shell",
    ),
    "commands": (
        "benchcalc.core",
        "benchcalc.words",
        "benchcalc.sensor",
        "benchcalc.runlog",
        "benchcalc.jobfile",
        "benchcalc.files",
        "benchcalc.report",
        "benchcalc.panel",
        "benchcalc.shell",
        "benchcalc.commands",
    ),
    "__init__": ("benchcalc.core", "benchcalc.jobfile", "benchcalc.files", "benchcalc.report"),
}
TOP = ("app", "cli", "__main__")
VERSIONED = ("runlog", "panel", "shell", "commands")
"""Rooms that may ask the package for its version."""

KEPT_IN: dict[str, tuple[str, ...]] = {
    "pygame": (
        "shell/display/screen.py",
        "shell/display/paint.py",
        "shell/display/brush.py",
        "shell/display/lettering.py",
        "shell/sound.py",
    ),
    "yaml": ("jobfile/strict_yaml.py",),
    "pint": ("jobfile/units.py",),
    "serial": ("shell/port.py",),
    "sqlite3": ("runlog/database.py",),
    "cryptography": ("runlog/signing.py",),
    # Which language is spoken holds for as long as something is said, and leaves nothing behind.
    "contextvars": ("words/language.py", "report/units_shown.py"),
}

PURE_ROOMS = ("core", "words", "jobfile", "report", "panel")
PURE_MODULES = {
    "abc", "bisect", "collections", "dataclasses", "decimal", "difflib", "enum", "fractions",
    "functools", "heapq", "itertools", "json", "math", "operator", "re", "statistics", "string",
    "textwrap", "types", "typing", "unicodedata", "xml",
}  # fmt: skip
PURE_MODULES_OF = {
    "words/phrases.py": {"pathlib"},
    "jobfile/bends.py": {"csv", "io", "datetime"},
    "jobfile/job.py": {"zlib"},
}
"""What a single pure module may import besides; the phrases have files of their own."""

IMPURE_CALLS = {"open", "print", "input", "exec", "eval", "__import__"}


class Import(NamedTuple):
    """One module that a file imports, and where."""

    module: str
    line: int


def imports(module: ast.Module, name: str) -> Iterator[Import]:
    """Everything a file imports, wherever in it; ``name`` is its path inside the package."""
    for node in ast.walk(module):
        if isinstance(node, ast.Import):
            yield from (Import(alias.name, node.lineno) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            origin = _origin(node, name)
            for alias in node.names:
                whole = f"{origin}.{alias.name}"
                yield Import(whole if _is_module(whole) else origin, node.lineno)


def _origin(node: ast.ImportFrom, name: str) -> str:
    if not node.level:
        return node.module or ""
    package = ("benchcalc", *PurePath(name).parent.parts)
    above = package[: len(package) - node.level + 1]
    return ".".join((*above, node.module) if node.module else above)


def _is_module(dotted: str) -> bool:
    """Whether a name imported from a package of ours is a module, or a room not built yet."""
    first, _, rest = dotted.partition(".")
    path = PACKAGE / rest.replace(".", "/")
    return first == "benchcalc" and (
        path.is_dir() or path.with_suffix(".py").is_file() or rest in (*ROOMS, *TOP)
    )


def broken(name: str, module: ast.Module) -> list[str]:
    """What a file of the package imports or does that its room may not, each with its line."""
    found = [
        f"benchcalc/{name}:{line}: may not import {target}"
        for target, line in imports(module, name)
        if not _allowed(name, target)
    ]
    if _room(name) in PURE_ROOMS:
        found += [f"benchcalc/{name}:{line}: {what} in a pure room" for what, line in acts(module)]
    return found


def _room(name: str) -> str:
    return PurePath(name).parts[0].removesuffix(".py")


def _allowed(name: str, target: str) -> bool:
    room, first = _room(name), target.partition(".")[0]
    if first == "benchcalc":
        if room in TOP or (target == "benchcalc" and room in VERSIONED):
            return True
        return any(target == ours or target.startswith(f"{ours}.") for ours in ROOMS.get(room, ()))
    if first in KEPT_IN:
        return name in KEPT_IN[first]
    if room in PURE_ROOMS:
        return first in PURE_MODULES | PURE_MODULES_OF.get(name, set())
    return first in sys.stdlib_module_names


def acts(module: ast.Module) -> Iterator[tuple[str, int]]:
    """Calls that reach outside the program, and writes to a module's own names."""
    for node in ast.walk(module):
        if isinstance(node, ast.Global):
            yield "global", node.lineno
        called = node.func if isinstance(node, ast.Call) else None
        if isinstance(called, ast.Name) and called.id in IMPURE_CALLS:
            yield f"{called.id}()", called.lineno


@pytest.mark.parametrize("name", python_files("benchcalc"))
def test_arrows_go_down_only(name: str) -> None:
    assert broken(name.removeprefix("benchcalc/"), tree(name)) == []


@pytest.mark.parametrize("room", [path.name for path in PACKAGE.iterdir() if path.is_dir()])
def test_every_room_has_its_rule(room: str) -> None:
    assert room in ROOMS or room in ("__pycache__", "assets")


ALLOWED = [
    ("core/sheet.py", "from benchcalc.core.layout.straight_tube import Layout"),
    ("core/sheet.py", "from .layout import Layout\nfrom . import job"),
    ("runlog/database.py", "import sqlite3, os, time\nfrom benchcalc.runlog import faults"),
    ("runlog/export.py", "import benchcalc\nfrom benchcalc import __version__"),
    ("panel/update.py", "import benchcalc\nfrom benchcalc.core import job\nimport json"),
    ("panel/screens/plan.py", "from .. import update\nfrom benchcalc.panel.screens import pick"),
    ("shell/loop.py", "import time, logging\nfrom benchcalc.runlog.store import Store"),
    ("shell/display/paint.py", "import pygame.font"),
    ("jobfile/units.py", "def f():\n    import pint"),
    ("cli.py", "from benchcalc.app import run_panel"),
    ("app.py", "from benchcalc.shell.loop import Loop"),
]


@pytest.mark.parametrize(("name", "text"), ALLOWED)
def test_an_arrow_down_passes(name: str, text: str) -> None:
    assert broken(name, ast.parse(text)) == []


REFUSED = [
    ("core/sheet.py", "from benchcalc.report.scene import Scene"),
    ("core/sheet.py", "from benchcalc import panel"),
    ("core/sheet.py", "from ..panel import scene"),
    ("core/sheet.py", "from .. import sensor"),
    ("core/sheet.py", "import benchcalc"),
    ("core/sheet.py", "if TYPE_CHECKING:\n    from benchcalc.shell import paint"),
    ("core/sheet.py", "def f():\n    import time"),
    ("core/sheet.py", "from pathlib import Path"),
    ("core/sheet.py", "import numpy"),
    ("core/sheet.py", "print('x')"),
    ("core/sheet.py", "def f():\n    global x\n    x = 1"),
    ("sensor/link.py", "from benchcalc.core.job import Tube"),
    ("runlog/export.py", "from benchcalc.core.job import Tube"),
    ("runlog/export.py", "import sqlite3"),
    ("panel/update.py", "from benchcalc.runlog.records import PieceRecord"),
    ("panel/update.py", "from datetime import datetime"),
    ("panel/update.py", "import os.path"),
    ("panel/update.py", "open('x')"),
    ("shell/loop.py", "from benchcalc.app import run_panel"),
    ("shell/loop.py", "from benchcalc import cli"),
    ("shell/loop.py", "import pygame"),
    ("shell/loop.py", "import yaml"),
    ("jobfile/job.py", "import pint.registry"),
    ("shell/loop.py", "from serial import Serial"),
    ("cli.py", "import pygame"),
    ("__init__.py", "from benchcalc.panel import update"),
    ("jobfile/job.py", "import benchcalc"),
]


@pytest.mark.parametrize(("name", "text"), REFUSED)
def test_an_arrow_up_or_aside_is_found(name: str, text: str) -> None:
    assert len(broken(name, ast.parse(text))) == 1


SHOWN_BY = ("drawings", "help", "input", "screens", "update", "widgets")


@pytest.mark.parametrize("name", python_files("benchcalc/panel/state"))
def test_the_panels_state_knows_nothing_of_what_shows_it(name: str) -> None:
    name = name.removeprefix("benchcalc/")
    above = tuple(f"benchcalc.panel.{room}" for room in SHOWN_BY)
    found = [
        one for one in imports(tree(f"benchcalc/{name}"), name) if one.module.startswith(above)
    ]
    assert found == []


TEXT_MAKERS = ("say", "number_shown", "decimal_sign", "angle_text", "length_text", "tube_text")
"""What makes words: only where something is drawn, or read by a person on paper."""


@pytest.mark.parametrize(
    "name",
    [*python_files("benchcalc/panel/state", "benchcalc/panel/input"), "benchcalc/panel/update.py"],
)
def test_the_panels_state_makes_no_word(name: str) -> None:
    made = [
        node.func.id
        for node in ast.walk(tree(name))
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
    ]
    assert sorted(set(made) & set(TEXT_MAKERS)) == []
