"""How this panel is set: language, colours, hand, how the screen hangs, its size in millimetres.

Kept beside the records, not in them: a setting is about the machine on the wall, not about a piece.
"""

from typing import Any, Literal, get_args

from benchcalc.core.fit.expected_miss import Tolerances
from benchcalc.core.frozen import frozen, replace
from benchcalc.core.job import Units
from benchcalc.core.layout.turn_by_level import Side
from benchcalc.core.serialize import deserialize, serialize
from benchcalc.report.theme import ThemeName
from benchcalc.report.units_shown import LengthsShown
from benchcalc.words.phrases import Language

Hand = Literal["right", "left"]
Rotation = Literal[0, 90, 180, 270]
SettingName = Literal[
    "language", "theme", "hand", "rotation", "units", "sounds", "dark_after_min", "re_aims",
    "curves",
]  # fmt: skip
DarkAfter = Literal[0, 10, 30]
WidthName = Literal["mark_mm", "angle_deg", "turn_deg"]

LANGUAGES: tuple[Language, ...] = get_args(Language)
SETTINGS: tuple[SettingName, ...] = get_args(SettingName)
WIDTHS: tuple[WidthName, ...] = get_args(WidthName)

CHOICES: dict[SettingName | WidthName, tuple[Any, ...]] = {
    "language": LANGUAGES,
    "theme": get_args(ThemeName),
    "hand": get_args(Hand),
    "rotation": get_args(Rotation),
    "units": get_args(LengthsShown),
    "sounds": (True, False),
    "dark_after_min": get_args(DarkAfter),
    "re_aims": (True, False),
    "curves": ("right", "left"),
    "mark_mm": (0.2, 0.3, 0.5, 0.8, 1.0),
    "angle_deg": (0.2, 0.3, 0.5, 1.0),
    "turn_deg": (None, 0.5, 1.0, 2.0, 3.0),
}
"""What each setting can be, in the order in which a tap goes through them."""

LEAST_SIDE_MM, MOST_SIDE_MM = 30.0, 800.0
"""Sides of a screen that anybody would hang at a bench."""

SETTINGS_FORM = 1


@frozen
class Ruled:
    """The visible screen as it was measured with a ruler: millimetres across and down.

    Both belong to the picture as it hangs (turned or not), and to that many pixels only: on another
    screen they say nothing.
    """

    width_mm: float
    height_mm: float
    width_px: int
    height_px: int

    def turned(self) -> "Ruled":
        """The same screen hung on its side."""
        return Ruled(self.height_mm, self.width_mm, self.height_px, self.width_px)


@frozen
class Settings:
    """The panel's settings. ``rotation`` turns the picture clockwise, in degrees.

    ``units`` is how lengths are shown: ``fraction`` in fractions of an inch, ``mixed`` tube and
    wall in inches, all else in mm. ``ruled`` is None until the ruler screen was done.
    ``dark_after_min`` is how long nobody is at the panel before its screen goes black; 0 is never,
    as it comes: from the bender the panel is read without touching it, and a black one looks off.
    ``re_aims`` says whether every measured bend re-aims the angles and turns that are to come;
    ``curves`` is the side to which the bender lying flat swings the free end, seen from the held
    end and from above.
    The widths are how far off a mark, an angle and a turn of this bench may be, 95 % limits; a
    turn of None is what the eye on a pen line makes of the tube in hand.
    """

    language: Language = "en"
    theme: ThemeName = "day"
    hand: Hand = "right"
    rotation: Rotation = 0
    units: LengthsShown = "mm"
    sounds: bool = True
    dark_after_min: DarkAfter = 0
    ruled: Ruled | None = None
    mark_mm: float = Tolerances().mark_mm
    angle_deg: float = Tolerances().angle_deg
    turn_deg: float | None = Tolerances().turn_deg
    re_aims: bool = True
    curves: Side = "right"

    @property
    def lengths(self) -> Units:
        """The units of a new job, and of a number typed without its own."""
        return "in" if self.units in ("in", "fraction") else "mm"

    @property
    def widths(self) -> Tolerances:
        """The usual widths of this bench."""
        return Tolerances(self.mark_mm, self.angle_deg, self.turn_deg)

    def ruled_mm(self, size: tuple[int, int]) -> tuple[float, float] | None:
        """The measured sides of a screen of that many pixels; None when they were not measured."""
        r = self.ruled
        if r is None or (r.width_px, r.height_px) != size:
            return None
        return (r.width_mm, r.height_mm)

    def with_next(self, name: SettingName | WidthName) -> "Settings":
        """The setting changed to the next of its choices; the measured screen turns along."""
        among = CHOICES[name]
        now = getattr(self, name)
        if name in WIDTHS:
            value = next((w for w in among if w is not None and w > (now or 0.0)), among[0])
        else:
            value = among[(among.index(now) + 1) % len(among)]
        changed = replace(self, **{name: value})
        if name == "rotation" and self.ruled is not None:
            return replace(changed, ruled=self.ruled.turned())
        return changed


@frozen
class Ruling:
    """How far apart two lines are drawn, what a ruler must say, the width once it is measured."""

    across: bool = True
    apart_px: int = 0
    apart_mm: int = 0
    width_mm: float = 0.0


def settings_plain(settings: Settings) -> dict[str, Any]:
    """The settings as they are kept."""
    return {"form": SETTINGS_FORM, "settings": serialize(settings)}


def settings_of(plain: Any) -> Settings:
    """Kept settings back again, what was not kept yet as usual.

    Raises ValueError for another form or a value out of range.
    """
    if not isinstance(plain, dict) or plain.get("form") != SETTINGS_FORM:
        raise ValueError("the settings have another form than this program's")
    settings = deserialize(Settings, plain.get("settings"))
    for name in WIDTHS:
        among = [width for width in CHOICES[name] if width is not None]
        least, most, width = among[0], among[-1], getattr(settings, name)
        if not (width is None and None in CHOICES[name]) and not least <= width <= most:
            unit = "mm" if name == "mark_mm" else "degrees"
            raise ValueError(f"a width of {width} {unit}: it must be {least} to {most} {unit}")
    r = settings.ruled
    if r is not None:
        for side_mm in (r.width_mm, r.height_mm):
            if not LEAST_SIDE_MM <= side_mm <= MOST_SIDE_MM:
                raise ValueError(
                    f"a screen's side of {side_mm} mm: it must be {LEAST_SIDE_MM:.0f} to "
                    f"{MOST_SIDE_MM:.0f} mm"
                )
        if min(r.width_px, r.height_px) < 1:
            raise ValueError("a measured screen without pixels: measure it again")
    return settings
