"""Every state on every screen, in every language and colour, for either hand.

No text is cut off or runs into another, every key has room for a glove, every word is read from
where the operator stands. The table of the least that was found ends the test run's output.
"""

from typing import Literal

import pytest

from benchcalc.panel.update import view
from benchcalc.panel.widgets.grid import measures
from benchcalc.panel.widgets.sizes import physical
from benchcalc.report.scene import CAPITAL_PART, Box, Disc, Label, Picture, Scene, Stroke, Target
from benchcalc.report.settings import LANGUAGES, Settings
from benchcalc.shell.display.lettering import fitted
from benchcalc.words.language import say, speaking
from tests.screens.measures import HAIR_MM, looked_at
from tests.screens.states import STATES
from tests.screens.table import LAYOUT, SCREENS, dressed

HANDS: tuple[Literal["right", "left"], ...] = ("right", "left")
LEAST_CONTRAST = 7.0
NUMBERED = ("make cut", "make mark", "make turn", "make seat", "make pull", "make pull further")
TYPING = ("plan leg", "write wall", "make check typed", "trial typed", "shape typing")


@pytest.mark.parametrize("screen", SCREENS)
@pytest.mark.parametrize("name", STATES)
def test_a_screen_can_be_read_and_tapped(
    name: str, screen: str, record_property: pytest.FixtureRequest
) -> None:
    wrong: list[str] = []
    for language in LANGUAGES:
        for hand in HANDS:
            model = dressed(name, screen, language, hand)
            seen, found = looked_at(view(model), measures(model))
            wrong += [f"{language}, {hand} hand: {fault}" for fault in found]
            if seen.contrast < LEAST_CONTRAST:
                wrong.append(f"{language}, {hand} hand: contrast {seen.contrast:.1f}")
            record_property(LAYOUT, (screen, *seen))  # type: ignore[operator]
    assert wrong == []


@pytest.mark.parametrize("screen", SCREENS)
@pytest.mark.parametrize("name", TYPING)
def test_the_keypad_has_keys_for_a_glove(name: str, screen: str) -> None:
    model = dressed(name, screen, "en", "right")
    seen, _ = looked_at(view(model), measures(model))
    least = 20.0 if screen.startswith(("7", "10")) else 12.0
    assert seen.pad_mm >= least - 0.1


@pytest.mark.parametrize("screen", [name for name in SCREENS if name.startswith(("7", "10"))])
@pytest.mark.parametrize("name", ("plan opened", "plan answer", *NUMBERED))
def test_the_number_that_matters_is_twelve_millimetres_high(name: str, screen: str) -> None:
    for language in LANGUAGES:
        model = dressed(name, screen, language, "right")
        scene, size = view(model), measures(model)
        labels = [shape for shape in scene.shapes if isinstance(shape, Label)]
        largest = max(fitted(label).size_px for label in labels)
        assert largest * CAPITAL_PART / size.down >= 12.0 - HAIR_MM


@pytest.mark.parametrize("screen", SCREENS)
@pytest.mark.parametrize("name", ("make turn", "make corrected turn", "make turn end for end"))
def test_which_way_round_is_said_and_drawn(name: str, screen: str) -> None:
    for language in LANGUAGES:
        scene = view(dressed(name, screen, language, "right"))
        with speaking(language):
            ways = {say(f"make.turn.{way}") for way in ("clockwise", "counter-clockwise")}
        assert len(ways & {shape.text for shape in scene.shapes if isinstance(shape, Label)}) == 1
        assert any(isinstance(shape, Picture) and _has_tube_end(shape) for shape in scene.shapes)


def _has_tube_end(picture: Picture) -> bool:
    """A ring with the heel and where it goes, an arc between them."""
    discs = [shape for shape in picture.shapes if isinstance(shape, Disc)]
    arcs = [shape for shape in picture.shapes if isinstance(shape, Stroke)]
    return len(discs) >= 5 and any(len(arc.points) > 20 for arc in arcs)


def test_a_name_is_tapped_once_only_on_a_screen() -> None:
    for name in STATES:
        model = dressed(name, "7 in 800x480", "en", "right")
        names = [target.name for target in view(model).targets]
        assert len(names) == len(set(names)), name


def test_the_check_sees_faults() -> None:
    shapes = (
        Label(Box(0, 0, 30, 14), "far too long for its box", 30.0),
        Label(Box(-5, 0, 300, 11), "small and past the edge", 11.0),
    )
    targets = (
        Target("low", Box(0, 20, 200, 30)),
        Target("over it", Box(50, 20, 120, 120)),
        Target("off", Box(790, 200, 200, 120)),
    )
    scene = Scene((800, 480), shapes, targets)
    _, found = looked_at(scene, physical((800, 480), Settings()))
    for part in ("does not fit", "past the edge: 'small", "text 'small", "key low: 5.7 mm",
                 "low lies over over it", "past the edge: off"):  # fmt: skip
        assert any(part in fault for fault in found), (part, found)
