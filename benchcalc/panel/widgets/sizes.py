"""How large the screen is in millimetres, and who said so; what a finger and an eye need of it."""

from math import ceil, hypot, radians, tan
from typing import Literal, NamedTuple

from benchcalc.report.scene import CAPITAL_PART
from benchcalc.report.settings import Ruled, Settings

SizeFrom = Literal["ruler", "screen", "assumed"]

EYE_MM = 700.0
"""From the eye to the panel beside a bender."""

ARCMIN, SMALL_ARCMIN = 20.0, 16.0
"""Height of a capital as it is seen, in minutes of arc: on screens from 7 in on, and on smaller.

Source: ISO 9241-303 has 20 to 22 as the preferred and 16 as the least height (from memory).
"""

KEY_MM, LEAST_KEY_MM = 20.0, 12.0
"""A gloved finger's key where the screen has room for it, and on the smallest screens."""

FIGURE_PART = 0.6
"""Height of the digits that matter, as a part of a key's least side: 12 mm from 7 in on."""

LINE_MM = 6.0
"""What a line of text above four rows of keys takes at least."""

SMALL_MM = 60.0
"""A screen with a shorter side than this has room for the keypad or the answer, not for both."""

ROOMY_MM = 130.0
"""A screen with no side shorter than this has room for a full key in the line on top as well."""

NOMINAL_IN: dict[tuple[int, int], float] = {
    (320, 480): 3.5,
    (480, 800): 7.0,
    (600, 1024): 7.0,
    (800, 1280): 10.1,
    (720, 1280): 7.0,
}
"""Diagonals of the panels that are usual at these resolutions, in inches: common practice."""

USUAL_PX_PER_MM = hypot(800, 480) / (7.0 * 25.4)
"""Where nothing is known: as fine as a 7 in screen of 800 x 480."""


class Physical(NamedTuple):
    """A screen of ``px`` pixels that is ``mm`` large, across and down."""

    px: tuple[int, int]
    mm: tuple[float, float]
    source: SizeFrom

    @property
    def across(self) -> float:
        """Pixels to a millimetre across; many screens have pixels that are not square."""
        return self.px[0] / self.mm[0]

    @property
    def down(self) -> float:
        """Pixels to a millimetre down."""
        return self.px[1] / self.mm[1]

    @property
    def key_mm(self) -> float:
        """The least side of a key."""
        return min(KEY_MM, max(LEAST_KEY_MM, (min(self.mm) - LINE_MM) / 4))

    @property
    def key_px(self) -> tuple[float, float]:
        """The least width and height of a key."""
        return (self.key_mm * self.across, self.key_mm * self.down)

    @property
    def least_mm(self) -> float:
        """The least side of a key that is seldom pressed, in the line on top."""
        return KEY_MM if min(self.mm) >= ROOMY_MM else LEAST_KEY_MM

    @property
    def least_px(self) -> tuple[float, float]:
        """Width and height of a key that is seldom pressed: what a glove just finds."""
        return (self.least_mm * self.across, self.least_mm * self.down)

    @property
    def figure_px(self) -> float:
        """The text size of the number that matters."""
        return FIGURE_PART * self.key_px[1] / CAPITAL_PART

    @property
    def small(self) -> bool:
        """Whether keypad and answer take turns."""
        return min(self.mm) < SMALL_MM

    @property
    def arcmin(self) -> float:
        """How high running text must be seen."""
        return ARCMIN if self.key_mm >= KEY_MM else SMALL_ARCMIN

    @property
    def text_px(self) -> int:
        """The size of running text."""
        return ceil(capital_mm(self.arcmin) * self.down / CAPITAL_PART)

    def seen_arcmin(self, size_px: float) -> float:
        """How high the capitals of a text of that size are seen."""
        return size_px * CAPITAL_PART / self.down / capital_mm(1.0)


def capital_mm(arcmin: float) -> float:
    """The height that is seen under an angle from where the operator stands."""
    return EYE_MM * tan(radians(arcmin / 60.0))


def physical(size: tuple[int, int], settings: Settings, told: Ruled | None = None) -> Physical:
    """A screen's size by the ruler, else as the screen tells of itself, else as is usual."""
    if (ruled := settings.ruled_mm(size)) is not None:
        return Physical(size, ruled, "ruler")
    if told is not None and (told.width_px, told.height_px) == size:
        return Physical(size, (told.width_mm, told.height_mm), "screen")
    short, long = sorted(size)
    inches = NOMINAL_IN.get((short, long))
    per_px = 25.4 * inches / hypot(short, long) if inches else 1 / USUAL_PX_PER_MM
    return Physical(size, (size[0] * per_px, size[1] * per_px), "assumed")
