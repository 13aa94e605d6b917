"""Millimetres, decimal and fractional inches, and both at once; switched at any time."""

import random
from dataclasses import replace
from fractions import Fraction

import pytest

from benchcalc.core.job import Units
from benchcalc.panel.state.in_hand import work_in_hand
from benchcalc.panel.state.model import Model, Row, Work
from benchcalc.report.figures import length_text, tube_text
from benchcalc.report.settings import Settings, settings_of, settings_plain
from benchcalc.report.units_shown import LengthsShown, showing
from tests.panel.driver import Hands
from tests.panel.journeys import (
    BENCH,
    JOB,
    RUN,
    SHOP,
    TO_FIRST_CHECK,
    UNDER_THEN_GOOD,
    demo_draft,
    typed,
)

SHOWN: dict[LengthsShown, Units] = {"mm": "mm", "in": "in", "fraction": "in", "mixed": "mm"}

# Source: the inch is 25.4 mm exactly (NIST Special Publication 811, B.8). The decimals are those of
# a decimal equivalents table, 1/64 = 0.015625 in and so on: arithmetic.
EQUIVALENTS = [
    (1.984375, "5/64"), (3.96875, "5/32"), (6.35, "1/4"), (9.525, "3/8"), (11.1125, "7/16"),
    (12.303125, "31/64"), (25.4, "1"), (119.0625, "4 11/16"), (304.8, "12"),
]  # fmt: skip


def next_units(hands: Hands) -> Hands:
    """One tap on the setting, from wherever the panel is, and back there."""
    screen = hands.work.screen
    hands.model = hands.model.with_work(screen="settings")
    hands.tap("set units")
    hands.model = hands.model.with_work(screen=screen)
    return hands


@pytest.mark.parametrize(("length_mm", "text"), EQUIVALENTS)
def test_fractions_of_an_inch_are_exact(length_mm: float, text: str) -> None:
    with showing("fraction"):
        assert length_text(length_mm, "in") == f"{text} in"
        assert length_text(-length_mm, "in") == f"−{text} in"
        assert length_text(length_mm, "mm").endswith(" mm")


def test_what_lies_between_two_fractions_says_so() -> None:
    with showing("fraction"):
        assert length_text(119.0625 + 0.06, "in") == "4 11/16+ in"
        assert length_text(119.0625 - 0.06, "in") == "4 11/16− in"
        assert length_text(119.0625 + 0.04, "in") == "4 11/16 in"
        dice = random.Random(5)
        for _ in range(2000):
            length_mm = dice.uniform(-400.0, 400.0)
            text = length_text(length_mm, "in").removesuffix(" in")
            shown_mm = sum(map(Fraction, text.strip("−+").split())) * Fraction("25.4")
            left = abs(length_mm) - float(shown_mm)
            assert abs(left) <= 25.4 / 128 + 1e-9
            assert (text[-1] == "+") == (left >= 0.05) and (text[-1] == "−") == (left <= -0.05)


def test_tube_and_wall_by_each_way_of_showing() -> None:
    wall_mm, od_mm = 0.049 * 25.4, 6.35
    told = {}
    for shown, units in SHOWN.items():
        with showing(shown):
            texts_ = (tube_text(od_mm, units), tube_text(wall_mm, units), length_text(100.0, units))
            told[shown] = texts_
    assert told == {
        "mm": ("6.35 mm", "1.2446 mm", "100.0 mm"),
        "in": ("0.25 in", "0.049 in", "3.937 in"),
        "fraction": ("1/4 in", "0.049 in", "3 15/16 in"),
        "mixed": ("0.25 in", "0.049 in", "100.0 mm"),
    }


def test_the_run_in_hand_is_shown_so_at_once() -> None:
    hands = Hands().tap(*BENCH, *RUN, "earlier")
    assert "cut to 119" not in hands.text and "193.7" in hands.text
    assert "7.628" in next_units(hands).text
    assert "7 5/8+" in next_units(hands).text
    assert "193.7" in next_units(hands).text
    hands.tap("bench")
    while hands.scene.target("set od") is None:
        hands.tap("more")
    assert "0.3937 in" in hands.text
    next_units(hands)
    while hands.scene.target("set od") is None:
        hands.tap("more")
    assert "10 mm" in hands.text


@pytest.mark.parametrize("seed", range(4))
def test_no_digit_is_lost_by_switching_at_any_time(seed: int) -> None:
    dice = random.Random(seed)
    hands = Hands(Model(SHOP, work=Work("plan", demo_draft()))) if seed % 2 else Hands().tap(*BENCH)
    for _ in range(60):
        keys = [*(f"key {digit}" for digit in range(10)), "key .", "next", "unit", "back", "undo"]
        name = dice.choice([key for key in keys if hands.scene.target(key)])
        hands.tap(name)
        typed_rows, sheet = texts(hands), work_in_hand(hands.model).sheet
        for _ in range(dice.randint(1, 4)):
            next_units(hands)
        assert texts(hands) == typed_rows
        after = work_in_hand(hands.model).sheet
        assert (sheet is None) == (after is None)
        if sheet is not None and after is not None:
            assert [b.mark and b.mark.at_mm for b in sheet.layout.bends] == [
                b.mark and b.mark.at_mm for b in after.layout.bends
            ]


def texts(hands: Hands) -> list[tuple[str, str, str, str]]:
    """What is typed, each length with its unit; a row with nothing in it has none."""
    return [
        (row.leg, row.bend, row.turn, row.unit if row != Row(unit=row.unit) else "")
        for row in hands.work.draft.rows
    ]


def test_a_piece_in_making_goes_on_and_its_record_is_the_same() -> None:
    plain = Hands().tap(*JOB).log[0].body
    hands = Hands()
    for tap in JOB:
        hands.tap(tap)
        if hands.work.screen == "make":
            next_units(hands)
    assert measured(hands.log[0].body) == measured(plain)


def measured(body: dict[str, object]) -> dict[str, object]:
    """A record without its sentences: they are in the units of the job."""
    return {name: value for name, value in body.items() if name not in ("units", "findings")}


def test_a_wall_typed_in_inches_beside_a_run_in_millimetres() -> None:
    hands = Hands()
    hands.model = replace(hands.model, settings=Settings(units="mixed"))
    hands.tap(*BENCH[:4], "set wall", *typed("0.049", "next"))
    assert (
        hands.work.draft.wall_mm == pytest.approx(0.049 * 25.4) and hands.work.draft.units == "mm"
    )
    assert "0.049 in" in hands.text
    assert hands.tap("set wall").work.writing.typed == "0.049"


def test_a_size_that_inches_cannot_say_keeps_its_millimetres() -> None:
    hands = next_units(Hands().tap(*BENCH, "bench"))
    hands.tap("set od")
    assert hands.work.writing.typed == "10 mm"
    hands.tap("next")
    assert hands.work.draft.od_mm == 10.0


def test_what_is_typed_about_a_piece_keeps_its_unit() -> None:
    hands = Hands().tap(*BENCH, *RUN, "make", *TO_FIRST_CHECK, *UNDER_THEN_GOOD)
    hands.tap("calipers", *typed("10.4", "next"), *typed("9.9"))
    next_units(hands)
    assert "9.9 mm" in hands.text
    hands.tap("next")
    last = hands.work.making.made[0] if hands.work.making else None
    assert last is not None and last.calipers == (10.4, 9.9)


@pytest.mark.parametrize("units", SHOWN)
def test_the_setting_is_kept(units: LengthsShown) -> None:
    settings = Settings(units=units)
    assert settings_of(settings_plain(settings)) == settings
