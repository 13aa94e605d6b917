from typing import get_args

import pytest

from benchcalc.report.scene import Role
from benchcalc.report.theme import DAY, NIGHT, PAPER, Rgb, Theme

TEXT = 7.0
SIGN = 3.0


def luminance(colour: Rgb) -> float:
    """Relative luminance, WCAG 2.1 (https://www.w3.org/TR/WCAG21/#dfn-relative-luminance)."""
    parts = [v / 255 for v in colour]
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: Rgb, other: Rgb) -> float:
    """Contrast ratio, WCAG 2.1 (https://www.w3.org/TR/WCAG21/#dfn-contrast-ratio)."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


PAPERS: tuple[Role, ...] = ("ground", "sheet", "key", "key_act", "key_go", "pressed")
TEXT_PAIRS: list[tuple[Role, Role]] = [
    *((ink, paper) for ink in ("ink", "quiet") for paper in PAPERS),
    ("pen", "ground"),
    ("pen", "sheet"),
    ("pen_ink", "pen"),
    ("alarm_ink", "alarm"),
    ("alarm", "ground"),
    ("alarm", "sheet"),
    ("good_ink", "good"),
    ("good", "ground"),
    ("good", "sheet"),
]
SIGN_PAIRS: list[tuple[Role, Role]] = [
    ("pen", "tube"),
    ("pen", "lit"),
    ("tube_edge", "tube"),
    ("tube_edge", "lit"),
    ("tube_edge", "ground"),
    ("tube_edge", "sheet"),
    ("ink", "tube"),
    ("ink", "lit"),
    ("rule", "ground"),
    ("rule", "sheet"),
    ("focus", "ground"),
    ("focus", "sheet"),
]
THEMES = pytest.mark.parametrize("theme", [DAY, NIGHT, PAPER], ids=["day", "night", "paper"])


def test_formula_at_the_ends_of_its_scale() -> None:
    # WCAG 2.1: "contrast ratios can range from 1 to 21"
    assert contrast((0, 0, 0), (255, 255, 255)) == pytest.approx(21)
    assert contrast((90, 90, 90), (90, 90, 90)) == pytest.approx(1)


@THEMES
def test_every_role_has_a_colour(theme: Theme) -> None:
    assert set(theme) == set(get_args(Role))


@THEMES
@pytest.mark.parametrize(("ink", "paper"), TEXT_PAIRS)
def test_text_can_be_read(theme: Theme, ink: Role, paper: Role) -> None:
    assert contrast(theme[ink], theme[paper]) >= TEXT


@THEMES
@pytest.mark.parametrize(("sign", "behind"), SIGN_PAIRS)
def test_signs_can_be_seen(theme: Theme, sign: Role, behind: Role) -> None:
    assert contrast(theme[sign], theme[behind]) >= SIGN


@THEMES
def test_a_pressed_key_differs_at_once(theme: Theme) -> None:
    for key in ("key", "key_act", "key_go"):
        assert contrast(theme["pressed"], theme[key]) >= 1.3
