from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchcalc.core.job import Units
from benchcalc.core.lengths import LengthError, parse_length
from benchcalc.panel.state.fields import (
    MOST_CHARACTERS,
    MOST_TEXT,
    Field,
    Refused,
    erased,
    has_unit,
    keys_for,
    other_unit,
    read_length,
    read_number,
    type_key,
)

LEG_MM = Field("field.leg", "length", 0.0, 100_000.0, "mm", over_least=True)
LEG_IN = Field("field.leg", "length", 0.0, 100_000.0, "in", over_least=True)
BEND = Field("field.bend", "angle", 0.0, 180.0, over_least=True)
TURN = Field("field.turn", "turn", -360.0, 360.0)
PIECES = Field("bench.pieces", "count", 1, 9999)
LOT = Field("bench.lot", "text")


def typed(field: Field, keys: str, text: str = "") -> str:
    for key in keys:
        text = type_key(field, text, key)
    return text


@pytest.mark.parametrize(
    ("field", "keys"),
    [(LEG_MM, "120.5"), (LEG_IN, "4-3/8"), (LEG_IN, "1' 2 1/2\""), (BEND, "22.5"), (LOT, "H4-7 Ü")],
)
def test_what_is_typed_stands_there(field: Field, keys: str) -> None:
    assert typed(field, keys) == keys


@pytest.mark.parametrize(
    ("field", "text", "key", "says"),
    [
        (LEG_MM, "12", "/", "leg takes no /"),
        (LEG_MM, "12", "-", "leg takes no -"),
        (BEND, "4", "x", "bend takes no x"),
        (PIECES, "4", ".", "pieces takes no ."),
        (BEND, "4.5", ".", "bend has its decimal point already"),
        (LEG_MM, "1" * MOST_CHARACTERS, "1", "leg: no more than 24 characters"),
        (LOT, "L" * MOST_TEXT, "L", "lot: at most 60 letters and digits"),
        (LOT, "L", "\n", "lot: at most 60 letters and digits"),
    ],
)
def test_a_key_that_has_no_place_is_refused_with_its_reason(
    field: Field, text: str, key: str, says: str
) -> None:
    with pytest.raises(Refused, match="^" + says.replace(".", r"\.") + "$"):
        type_key(field, text, key)


def test_minus_turns_a_turn_over_wherever_it_is_pressed() -> None:
    assert typed(TURN, "9-0") == "-90"
    assert typed(TURN, "90--") == "90"
    assert typed(TURN, "-") == "-"


@pytest.mark.parametrize(
    ("field", "text", "value"),
    [(BEND, "22.5", 22.5), (BEND, ".5", 0.5), (BEND, "180", 180.0), (TURN, "-90", -90.0),
     (PIECES, "4", 4.0), (BEND, "45.", 45.0)],
)  # fmt: skip
def test_numbers_are_read(field: Field, text: str, value: float) -> None:
    assert read_number(field, text) == value


@pytest.mark.parametrize(
    ("field", "text", "says"),
    [
        (BEND, "", "bend: type a number"),
        (TURN, "-", "turn: type a number"),
        (BEND, ".", "bend: . is no number, write 45 or 22.5"),
        (BEND, "0", "bend is 0°: it goes from over 0° to 180°"),
        (BEND, "180.1", "bend is 180.1°: it goes from over 0° to 180°"),
        (TURN, "-361", "turn is -361°: it goes from -360° to 360°"),
        (PIECES, "0", "pieces is 0: it goes from 1 to 9999"),
        (BEND, "1" * 20, f"bend: {'1' * 20} is no number, write 45 or 22.5"),
    ],
)
def test_numbers_out_of_range_say_value_and_limits(field: Field, text: str, says: str) -> None:
    with pytest.raises(Refused) as refused:
        read_number(field, text)
    assert str(refused.value) == says


@pytest.mark.parametrize(
    ("field", "text", "says"),
    [
        (LEG_MM, "0", "leg is 0 mm: it goes from over 0 mm to 100000 mm"),
        (LEG_MM, "100001", "leg is 100001 mm: it goes from over 0 mm to 100000 mm"),
        (LEG_IN, "0 mm", "leg is 0 mm: it goes from over 0 in to 3937.0079 in"),
    ],
)
def test_lengths_out_of_range_say_value_and_limits(field: Field, text: str, says: str) -> None:
    with pytest.raises(Refused) as refused:
        read_length(field, text)
    assert str(refused.value) == says


def test_lengths_are_exact() -> None:
    assert read_length(LEG_IN, "4 3/8") == Fraction(35, 8) * Fraction(254, 10)
    assert read_length(LEG_IN, "10 mm") == 10


@pytest.mark.parametrize(
    ("text", "unit", "other"),
    [
        ("25.4", "mm", "1"), ("1", "in", "25.4"), ("4 3/8", "in", "111.125"),
        ("10", "mm", "10 mm"), ("10 mm", "in", "10"), ("1'", "in", "304.8"),
        ("", "mm", ""), ("4 3/", "in", "4 3/"), ("1.5.", "mm", "1.5."),
    ],
)  # fmt: skip
def test_the_other_unit_shows_the_same_length(text: str, unit: Units, other: str) -> None:
    assert other_unit(text, unit) == (other, "in" if unit == "mm" else "mm")


TEXTS = st.text(alphabet="0123456789./-' \"minx", max_size=12)


@given(TEXTS, st.sampled_from(["mm", "in"]))
def test_the_unit_key_never_changes_a_length_nor_loses_a_text(text: str, unit: Units) -> None:
    shown, other = other_unit(text, unit)
    try:
        before = parse_length(text, unit).mm
    except LengthError:
        assert shown == text
    else:
        assert parse_length(shown, other).mm == before


@given(TEXTS)
def test_erasing_always_ends(text: str) -> None:
    while text:
        shorter = erased(text)
        assert text.startswith(shorter) and len(shorter) < len(text)
        text = shorter
    assert erased("") == ""


def test_a_unit_is_erased_whole() -> None:
    assert erased("10 mm") == "10"
    assert erased("4 in") == "4"
    assert erased('4"') == "4"
    assert [has_unit(t) for t in ("10 mm", "4 in", '4"', "1'", "10", "")] == [True] * 4 + [
        False
    ] * 2


def test_only_the_keys_that_can_be_part_of_a_value() -> None:
    assert "/" in keys_for(LEG_IN) and "/" not in keys_for(LEG_MM)
    assert "-" in keys_for(TURN) and "-" not in keys_for(BEND)
    assert "." not in keys_for(PIECES)
