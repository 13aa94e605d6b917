"""The words of every screen and step, against files under tests/screens.

BENCHCALC_WRITE_SCREENS=1 writes them anew; look at what changed before keeping it.
"""

import os
from pathlib import Path

import pytest

from benchcalc.panel.update import view
from benchcalc.report.scene import scene_text
from tests.screens.states import STATES, state

FOLDER = Path(__file__).parent
WRITING = os.environ.get("BENCHCALC_WRITE_SCREENS") == "1"
SIZE = (800, 480)


def described(name: str) -> str:
    """The words on the screen, then what can be tapped."""
    scene = view(state(name, SIZE))
    targets = [f"[{target.name}]" for target in scene.targets]
    return "\n".join([scene_text(scene), "", *targets, ""])


@pytest.mark.parametrize("name", STATES)
def test_a_screen_says_what_it_said(name: str) -> None:
    path, text = FOLDER / f"{name.replace(' ', '-')}.txt", described(name)
    if WRITING:
        path.write_text(text, encoding="utf-8")
    assert path.exists(), f"no text for {name!r}: run with BENCHCALC_WRITE_SCREENS=1"
    assert text == path.read_text(encoding="utf-8")


def test_every_file_belongs_to_a_state() -> None:
    wanted = {f"{name.replace(' ', '-')}.txt" for name in STATES}
    assert {path.name for path in FOLDER.glob("*.txt")} == wanted
