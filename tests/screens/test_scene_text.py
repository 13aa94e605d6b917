"""The words of screens that are the best witness of something, against files under tests/screens.

BENCHCALC_WRITE_SCREENS=1 writes them anew; look at what changed before keeping it.
"""

import os
from pathlib import Path

import pytest

from benchcalc.panel.update import view
from benchcalc.report.scene import scene_text
from tests.screens.states import state

FOLDER = Path(__file__).parent
WRITING = os.environ.get("BENCHCALC_WRITE_SCREENS") == "1"
SIZE = (800, 480)
WITNESSES = (
    "bench empty", "bench half bent", "bench lacks", "bench trials wait", "clash bender",
    "clash order found", "copy done", "copy failed", "copy two sticks", "gauge 90",
    "help make pull", "kept", "learnt", "learnt outlier", "machine", "make aim",
    "make aim causes", "make calipers", "make check doubted", "make check refused",
    "make correct", "make correct changes", "make corrected seat", "make cut fraction",
    "make mark", "make over", "make port", "make pull", "make scrap", "make seat inches",
    "make store", "make turn end for end", "pick bender", "piece", "plan findings",
    "plan inches", "plan ports", "plan stopped", "plan turn", "plan whole", "ruler across",
    "settings", "shape ports ways", "shape refused", "shape saddle", "trial results", "trial u",
    "widths", "write wall too thick",
)  # fmt: skip
"""What is worked out, refused or asked, once each; other tests read the words they are about."""


def described(name: str) -> str:
    """The words on the screen, then what can be tapped."""
    scene = view(state(name, SIZE))
    targets = [f"[{target.name}]" for target in scene.targets]
    return "\n".join([scene_text(scene), "", *targets, ""])


@pytest.mark.parametrize("name", WITNESSES)
def test_a_screen_says_what_it_said(name: str) -> None:
    path, text = FOLDER / f"{name.replace(' ', '-')}.txt", described(name)
    if WRITING:
        path.write_text(text, encoding="utf-8")
    assert path.exists(), f"no text for {name!r}: run with BENCHCALC_WRITE_SCREENS=1"
    assert text == path.read_text(encoding="utf-8")


def test_every_file_belongs_to_a_witness() -> None:
    wanted = {f"{name.replace(' ', '-')}.txt" for name in WITNESSES}
    assert {path.name for path in FOLDER.glob("*.txt")} == wanted
