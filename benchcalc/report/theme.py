"""The colours of the roles, by day and by night.

One family of colour for each meaning: greys for what is there, ochre for where the work is now,
violet for the pen and nothing else, red and green only where a person must decide or may go on.
Contrast is held by tests/panel/test_theme.py: 7:1 for text, 3:1 for signs.
"""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Literal

from benchcalc.report.scene import Role

ThemeName = Literal["day", "night"]
Rgb = tuple[int, int, int]
Theme = Mapping[Role, Rgb]

DAY: Theme = MappingProxyType(
    {
        "ground": (231, 227, 219),
        "sheet": (246, 244, 239),
        "key": (210, 204, 192),
        "key_act": (218, 217, 213),
        "key_go": (242, 214, 140),
        "pressed": (255, 255, 255),
        "ink": (22, 20, 17),
        "quiet": (57, 54, 48),
        "rule": (125, 119, 107),
        "pen": (98, 14, 172),
        "pen_ink": (255, 255, 255),
        "tube": (196, 203, 207),
        "tube_edge": (44, 50, 54),
        "lit": (240, 184, 64),
        "alarm": (138, 18, 12),
        "alarm_ink": (255, 255, 255),
        "good": (12, 78, 48),
        "good_ink": (255, 255, 255),
        "focus": (138, 84, 0),
        "dark": (0, 0, 0),
    }
)
"""Dark on warm grey, for a lit workshop."""

NIGHT: Theme = MappingProxyType(
    {
        "ground": (15, 14, 13),
        "sheet": (24, 23, 21),
        "key": (37, 35, 33),
        "key_act": (32, 34, 36),
        "key_go": (90, 62, 8),
        "pressed": (0, 0, 0),
        "ink": (240, 237, 230),
        "quiet": (222, 218, 209),
        "rule": (121, 116, 107),
        "pen": (206, 178, 255),
        "pen_ink": (26, 8, 48),
        "tube": (72, 78, 83),
        "tube_edge": (196, 202, 206),
        "lit": (124, 92, 20),
        "alarm": (255, 142, 122),
        "alarm_ink": (38, 6, 2),
        "good": (126, 208, 158),
        "good_ink": (4, 26, 14),
        "focus": (226, 172, 68),
        "dark": (0, 0, 0),
    }
)
"""Light on near-black, for a dark engine room."""

THEMES: Mapping[ThemeName, Theme] = MappingProxyType({"day": DAY, "night": NIGHT})
"""The panel's, by their setting."""

PAPER: Theme = MappingProxyType(
    {**DAY, "ground": (255, 255, 255), "sheet": (255, 255, 255), "tube": (228, 232, 234)}
)
"""The day's colours on white, for a sheet that is printed."""
