"""Units: the small table against pint's own registry, and what is never guessed."""

import math
from fractions import Fraction
from typing import Any

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchcalc.core.lengths import MM_PER_IN
from benchcalc.jobfile.units import OWN, Kind, QuantityError, parse_decimal, parse_quantity

# pint's registry as it is delivered is the outside authority; ours is private and smaller.
PINT: Any = pint.UnitRegistry()
INSIDE = {"pressure": "MPa", "angle": "degree", "share": "dimensionless"}
WORDS: list[tuple[Kind, str]] = [(kind, word) for kind, table in OWN.items() for word in table]
ASKED: list[tuple[Kind, str]] = [("pressure", w) for w in ("Pa", "mbar", "atm", "ksi")]


@pytest.mark.parametrize(("kind", "word"), [*WORDS, *ASKED, ("angle", "rad")])
def test_every_factor_is_pints(kind: Kind, word: str) -> None:
    ours = parse_quantity(f"1 {word}", kind)
    theirs = PINT.Quantity(1.0, "percent" if word == "%" else word).to(INSIDE[kind]).magnitude
    assert math.isclose(float(ours.value), theirs, rel_tol=1e-12)


def test_an_inch_is_pints() -> None:
    assert math.isclose(float(MM_PER_IN), PINT.Quantity(1.0, "inch").to("mm").magnitude)


@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        ("120 bar", "pressure", Fraction(12)),
        ("137.9MPa", "pressure", Fraction(1379, 10)),
        ("193 GPa", "pressure", Fraction(193_000)),
        ("-22.5 deg", "angle", Fraction(-45, 2)),
        (".5 %", "share", Fraction(1, 200)),
        ("90", "angle", Fraction(90)),
    ],
)
def test_read_exactly(text: str, kind: Kind, value: Fraction) -> None:
    assert parse_quantity(text, kind).value == value


@pytest.mark.parametrize(
    "text",
    [
        "3 1/2 bar", "1,5 bar", "3½ bar", "bar", "", "12 bar bar", "1e3 bar", "0x10 bar", "1_0 bar",
        "12 m", "12 Bar", "12 kbar", "12 bar*2", "12 __class__", "٣ bar", "1.2.3 bar", "07 bar",
        "nan bar", "inf bar", "1" * 25 + " bar", "12 " + "b" * 50,
    ],
)  # fmt: skip
def test_refused_never_guessed(text: str) -> None:
    with pytest.raises(QuantityError):
        parse_quantity(text, "pressure")


@given(st.text(max_size=30))
def test_any_text_is_a_quantity_or_refused(text: str) -> None:
    for read in (parse_decimal, lambda t: parse_quantity(t, "angle")):
        try:
            read(text)
        except QuantityError as error:
            assert ": " in str(error)


@given(st.decimals(-1_000_000, 1_000_000, places=5))
def test_decimals_are_exact(value: object) -> None:
    text = f"{value:f}"
    assert parse_decimal(text) == Fraction(text)
