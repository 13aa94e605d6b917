"""Lengths as people write them: exact, or refused with a sentence."""

from fractions import Fraction

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from benchcalc.core.job import Units
from benchcalc.core.lengths import (
    TAPES,
    LengthError,
    format_exact,
    format_graduation,
    mm_per,
    nearest_graduation,
    parse_length,
    round_half_away,
)


# 1 in = 25.4 mm exactly (international inch, 1959), so each of these can be done by hand.
@pytest.mark.parametrize(
    ("text", "bare", "mm"),
    [
        ("120", "mm", Fraction(120)),
        ("12.5", "mm", Fraction(25, 2)),
        (".5", "mm", Fraction(1, 2)),
        ("12.", "mm", Fraction(12)),
        (" 12.5 mm ", None, Fraction(25, 2)),
        ("-4", "mm", Fraction(-4)),
        ("+4", "mm", Fraction(4)),
        ("0", "mm", Fraction(0)),
        ("1", "in", Fraction(254, 10)),
        ("3 1/2 in", None, Fraction(889, 10)),
        ("3-1/2 in", None, Fraction(889, 10)),
        ("3 - 1/2 in", None, Fraction(889, 10)),
        ("4 3/8", "in", Fraction(35, 8) * Fraction(254, 10)),
        ("4-3/8", "in", Fraction(35, 8) * Fraction(254, 10)),
        ("3/8", "in", Fraction(3, 8) * Fraction(254, 10)),
        ("-1/16 in", "mm", Fraction(-1, 16) * Fraction(254, 10)),
        ("9/8 in", None, Fraction(9, 8) * Fraction(254, 10)),
        ('0.049"', None, Fraction(12446, 10000)),
        ("1'", "mm", Fraction(3048, 10)),
        ("1' 2\"", "mm", Fraction(14 * 254, 10)),
        ("1' 2 1/2\"", "mm", Fraction(3683, 10)),
        ("1'-2 1/2\"", None, Fraction(3683, 10)),
        ("1'2-1/2in", None, Fraction(3683, 10)),
        ("-1' 2 1/2\"", None, Fraction(-3683, 10)),
        ("10 mm", "in", Fraction(10)),
    ],
)
def test_worked_examples(text: str, bare: Units | None, mm: Fraction) -> None:
    assert parse_length(text, bare).mm == mm


@pytest.mark.parametrize(
    ("text", "bare", "words"),
    [
        ("", "mm", "nothing written"),
        ("-", "mm", "nothing written"),
        ("1,5", "mm", "write the decimal point"),
        ("3½ in", None, "write fractions as 3 1/2"),
        ("½", "in", "write fractions as 3 1/2"),
        ("٣", "mm", "outside plain text"),
        ("12", None, "has no unit"),
        ("12 cm", "mm", "no unit of length"),
        ("12 MM", "mm", "no unit of length"),
        ("mm", "mm", "no unit of length|unit and no number|no number"),
        ("3 1/2", "mm", "fractions belong to inches"),
        ("3 1/2 mm", "in", "fractions belong to inches"),
        ("3 1/3 in", None, "halves to 128ths"),
        ("1/0 in", None, "halves to 128ths"),
        ("3 3/2 in", None, "must be under one"),
        ("0123", "mm", "spare zero"),
        ("1e3", "mm", "is no number"),
        ("0x1F", "mm", "no number|no unit"),
        ("1_000", "mm", "no number|no unit"),
        ("1.5 1/2 in", None, "is no number"),
        ("1 2", "in", "is no number"),
        ("--1", "mm", "is no number"),
        ("1'-", None, "stops after the dash"),
        ("1' 2", "in", "carry their sign"),
        ("1' 12\"", None, "under 12"),
        ("1' 5 mm", None, "carry their sign"),
        ("1000001", "mm", "limit of 1000 m"),
        ("1" * 25, "mm", "digits"),
        ("nan", "mm", "no unit of length|no number"),
        (".", "mm", "is no number"),
        ("1.2.3", "mm", "is no number"),
        ("1\n", "mm", "no unit of length"),
        ("1'-2'-3\"", None, "is no number"),
    ],
)
def test_refused_in_words(text: str, bare: Units | None, words: str) -> None:
    with pytest.raises(LengthError, match=words):
        parse_length(text, bare)


PIECES = [
    "1",
    "12",
    "0",
    "3/8",
    "1/2",
    "-",
    "+",
    ".",
    " ",
    "'",
    '"',
    "in",
    "mm",
    ",",
    "½",
    "/",
    "e",
]


@given(
    st.one_of(st.text(max_size=20), st.lists(st.sampled_from(PIECES), max_size=9).map("".join)),
    st.sampled_from(["mm", "in", None]),
)
@example("0' 0\"", None)
@example("'", "in")
def test_any_text_is_a_length_or_refused(text: str, bare: Units | None) -> None:
    try:
        found = parse_length(text, bare)
    except LengthError as error:
        assert ": " in str(error)
    else:
        assert abs(found.mm) <= 1_000_000 and any(c.isdigit() for c in text)


@given(st.decimals(-39_000, 39_000, places=6), st.sampled_from(["mm", "in"]))
def test_a_decimal_is_read_and_written_exactly(value: object, unit: Units) -> None:
    read = parse_length(f"{value:f}", unit)
    assert read.mm == Fraction(f"{value:f}") * mm_per(unit)
    assert parse_length(format_exact(read.mm, unit), unit) == read


@given(
    st.integers(0, 3000),
    st.integers(1, 7).flatmap(lambda p: st.tuples(st.integers(0, 2**p - 1), st.just(2**p))),
    st.sampled_from(["", "-"]),
)
def test_a_fraction_is_read_and_written_exactly(
    whole: int, part: tuple[int, int], sign: str
) -> None:
    top, bottom = part
    inches = (whole + Fraction(top, bottom)) * (-1 if sign else 1)
    read = parse_length(f"{sign}{whole} {top}/{bottom} in", None)
    assert read.mm == inches * Fraction(254, 10)
    assert parse_length(format_exact(read.mm, "in"), "in") == read
    # The same length as feet and inches.
    feet, rest = divmod(whole, 12)
    assert parse_length(f"{sign}{feet}' {rest} {top}/{bottom}\"", None) == read


def test_what_has_no_finite_decimal_is_refused() -> None:
    assert format_exact(Fraction(127, 10), "in") == "0.5"
    assert format_exact(Fraction(-1, 4), "mm") == "-0.25"
    with pytest.raises(LengthError, match="no exact decimal"):
        format_exact(Fraction(1), "in")


@given(st.floats(-20_000, 20_000), st.sampled_from(sorted(TAPES)))
def test_the_nearest_line_of_a_tape(length_mm: float, name: str) -> None:
    tape = TAPES[name]
    mark = nearest_graduation(length_mm, tape)
    step_mm = float(tape.step * mm_per(tape.unit))
    assert abs(mark.left_mm) <= step_mm / 2 + 1e-9
    assert abs(float(mark.value * mm_per(tape.unit)) + mark.left_mm - length_mm) < 1e-9
    shown = parse_length(format_graduation(mark), None)
    assert shown.mm == mark.value * mm_per(tape.unit)


@pytest.mark.parametrize(
    ("value", "nearest"),
    [("1/2", 1), ("-1/2", -1), ("3/2", 2), ("5/2", 3), ("-5/2", -3), ("49/100", 0), ("7", 7)],
)
def test_halves_go_away_from_zero(value: str, nearest: int) -> None:
    assert round_half_away(Fraction(value)) == nearest


@pytest.mark.parametrize(
    ("mm", "name", "shown"),
    [
        (173.4, "0.5 mm", "173.5 mm"),
        (173.4, "1 mm", "173 mm"),
        (111.125, "1/16 in", "4 3/8 in"),
        (-1.6, "1/16 in", "-1/16 in"),
        (25.4, "1/64 in", "1 in"),
        (0.0, "1/32 in", "0 in"),
    ],
)
def test_a_graduation_as_a_tape_shows_it(mm: float, name: str, shown: str) -> None:
    assert format_graduation(nearest_graduation(mm, TAPES[name])) == shown
