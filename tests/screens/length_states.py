"""The demo's run, its bench and a piece of it with lengths in inches, in fractions, and mixed."""

from collections.abc import Callable
from dataclasses import replace

from benchcalc.panel.screens.settings import in_units_shown
from benchcalc.panel.state.model import Face, Model, Work
from benchcalc.report.settings import Settings
from benchcalc.report.units_shown import LengthsShown
from tests.panel.driver import Hands
from tests.panel.journeys import SHOP, demo_draft, shape

Size = tuple[int, int]


def shown_in(lengths: LengthsShown, *taps: str, face: Face = "keys") -> Callable[[Size], Model]:
    """The demo's run opened and tapped on, its lengths shown so."""

    def made(size: Size) -> Model:
        model = Model(SHOP, size, work=Work("plan", demo_draft()))
        model = in_units_shown(replace(model, settings=Settings(units=lengths)))
        return replace(Hands(model).tap(*taps).model, face=face)

    return made


LENGTHS: dict[str, Callable[[Size], Model]] = {
    "bench mixed": shown_in("mixed", "bench"),
    "plan inches": shown_in("in"),
    "plan fraction": shown_in("fraction"),
    "plan answer fraction": shown_in("fraction", "later", face="answer"),
    "shape fraction": shown_in("fraction", "later", *shape("offset", "5", "2")),
    "make cut fraction": shown_in("fraction", "make"),
    "make mark fraction": shown_in("fraction", "make", "next", "next"),
    "make seat inches": shown_in("in", "make", *["next"] * 6),
}
