"""Why a piece is scrapped: the reason is the second press, and lies elsewhere than the first."""

from benchcalc.panel.screens.making import gone_back, scrapped
from benchcalc.panel.state.action import press
from benchcalc.panel.widgets.form_page import Key, put_key
from benchcalc.panel.widgets.grid import Canvas
from benchcalc.report.boxes import cells
from benchcalc.report.scene import Box, Target
from benchcalc.words.language import say

REASONS = ("over", "kinked", "mark", "other")
ACROSS, DOWN = 2, 3
"""The places of this screen, and of the one whose key leads here."""


def draw(c: Canvas, pressed: Target | None) -> None:
    """The reasons, none of them where the key was; in its place what leads back."""
    places = cells(c.below, ACROSS, DOWN)
    taken = [place for place in places if pressed is not None and _meet(place, pressed.box)]
    back = taken[0] if taken else places[-1]
    free = [place for place in places if place not in (*taken, back)]
    for reason, box in zip(REASONS, free, strict=False):
        says = say(f"make.scrap.{reason}")
        does = press(scrapped, reason)
        put_key(c, box, Key(f"because {reason}", says, "key", does, decides=True, choice=True),
                lines=3)  # fmt: skip
    no = Key("step back", say("make.scrap.no"), does=press(gone_back), keys=("escape", "back"))
    put_key(c, back, no)


def _meet(one: Box, other: Box) -> bool:
    across = min(one.right, other.right) - max(one.x, other.x)
    down = min(one.bottom, other.bottom) - max(one.y, other.y)
    return across > 1.0 and down > 1.0
