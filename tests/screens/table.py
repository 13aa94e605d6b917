"""What every screen asks of fingers and eyes: ``python -m tests.screens.table`` prints it.

The same table ends the output of a test run that has gone through the layout.
"""

from collections.abc import Iterable
from dataclasses import replace
from functools import cache
from typing import Any

from benchcalc.panel.state.model import Model
from benchcalc.panel.update import view
from benchcalc.panel.widgets.grid import measures
from benchcalc.report.settings import LANGUAGES, Hand, Ruled
from benchcalc.words.phrases import Language
from tests.screens.measures import NOTHING, Seen, looked_at
from tests.screens.states import STATES, Size, state

LAYOUT = "layout"
"""The name of the property under which a test keeps what it has seen."""

SCREENS: dict[str, tuple[Size, tuple[float, float] | None]] = {
    "3.5 in 480x320": ((480, 320), None),
    "5 in 800x480": ((800, 480), (108.8, 65.3)),
    "7 in 800x480": ((800, 480), None),
    "7 in 1024x600": ((1024, 600), None),
    "10 in 1280x800": ((1280, 800), None),
    "7 in 480x800": ((480, 800), None),
    "7 in 720x1280": ((720, 1280), None),
}
"""The screens that are supported: pixels, and the sides in mm where they are not the usual."""


def dressed(name: str, screen: str, language: Language, hand: Hand) -> Model:
    """A state on a screen, in a language, for a hand."""
    size, sides = SCREENS[screen]
    model = _state(name, size)
    settings = replace(model.settings, language=language, hand=hand)
    if sides is not None:
        settings = replace(settings, ruled=Ruled(*sides, *size))
    return replace(model, settings=settings)


_state = cache(state)


def worst(screen: str) -> Seen:
    """The least of all states on one screen."""
    least = NOTHING
    for name in STATES:
        for language in LANGUAGES:
            model = dressed(name, screen, language, "right")
            least = least.with_(looked_at(view(model), measures(model))[0])
    return least


HEAD = (
    "screen          mm        digits   any key                 text        "
    "smallest text                  pictures  contrast"
)


def row(screen: str, seen: Seen) -> str:
    """One screen's line; a 99 stands where there was nothing to see."""
    wide, high = measures(dressed("plan leg", screen, "en", "right")).mm
    return (
        f"{screen:15} {wide:3.0f} x {high:<3.0f} {seen.pad_mm:4.1f} mm  {seen.key_mm:4.1f} mm "
        f"{seen.key:14.14}  {seen.text_arcmin:4.1f}'  {seen.text:34.34}  "
        f"{seen.picture_arcmin:4.1f}'  {seen.contrast:4.1f}"
    )


def table(seen: Iterable[tuple[str, Any]]) -> list[str]:
    """A line for each screen, from what was seen on it again and again."""
    least: dict[str, Seen] = {}
    for screen, one in seen:
        least[screen] = least.get(screen, NOTHING).with_(Seen(*one))
    return [HEAD, *(row(screen, least[screen]) for screen in SCREENS if screen in least)]


if __name__ == "__main__":
    print("\n".join(table((screen, worst(screen)) for screen in SCREENS)))
