"""What of an act can hurt, and from where a turn is seen, stand on the face of its step.

At every size, in every language and unit, with a trouble line on top as well.
"""

from dataclasses import replace

import pytest

from benchcalc.panel.screens.make_words import CAUTIONED
from benchcalc.panel.state.model import Model
from benchcalc.panel.update import view
from benchcalc.report.scene import Label, Scene, flatten
from benchcalc.report.settings import LANGUAGES, Settings
from benchcalc.report.told import told
from benchcalc.words.language import say, speaking
from tests.screens.states import STATES, Size, state

SIZES: tuple[Size, ...] = ((480, 320), (800, 480), (480, 800), (1280, 800))
STEPS = [name for name in STATES if name.startswith("make ")]


def read(scene: Scene) -> str:
    """All words of a screen, in one line."""
    return " ".join(" ".join(s.text for s in flatten(scene.shapes) if isinstance(s, Label)).split())


def on_its_face(model: Model) -> str | None:
    """The step whose act is told on this screen; none where something else is shown or asked."""
    making = model.work.making
    behind = model.face != "keys" or model.refusal or model.asking or model.over
    warned = view(model).target("seen")  # on a small screen, until it was read
    if making is None or behind or warned or making.step not in CAUTIONED:
        return None
    return making.step


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("name", STEPS)
def test_a_caution_is_on_the_face_of_its_step(name: str, size: Size) -> None:
    model = state(name, size)
    step = on_its_face(model)
    if step is None:
        return
    for language in LANGUAGES:
        for trouble in ((), (told("trouble.broke"),)):
            settings = replace(Settings(), language=language)
            shown = read(view(replace(model, settings=settings, trouble=trouble)))
            with speaking(language):
                if step != "turn" and (step, size) != ("seat", (480, 320)):
                    assert say(f"make.caution.{step}") in shown
                ways = [say(f"make.turn.{way}") for way in ("clockwise", "counter-clockwise")]
                half = say("make.turn.half")
            if step == "turn":
                assert any(way in shown for way in (*ways, half))


def test_every_cautioned_step_is_among_the_screens() -> None:
    assert {on_its_face(state(name, (480, 320))) for name in STEPS} >= set(CAUTIONED)
