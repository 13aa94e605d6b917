"""Lists of points as people paste them: read exactly, or refused with the line and a sentence."""

import pytest

from benchcalc.core.job import Units
from benchcalc.core.shapes.point_list import MOST_POINTS, parse_points
from benchcalc.core.shapes.points import BadPoints

POINTS = ((0.0, 0.0, 0.0), (80.0, 0.0, 0.0), (80.0, -60.5, 0.25))


def refused(text: str, bare: Units = "mm") -> list[tuple[int, str]]:
    with pytest.raises(BadPoints) as bad:
        parse_points(text, bare)
    return [(f.at, f"{f.what}: {f.value}: {f.limit}: {f.todo}") for f in bad.value.faults]


@pytest.mark.parametrize(
    "text",
    [
        "0,0,0\n80,0,0\n80,-60.5,.25\n",
        "0, 0, 0\r\n80, 0, 0\r\n80, -60.5, 0.25",
        "0;0;0\n80;0;0\n80;-60.5;0.25",
        "0\t0\t0\n80\t0\t0\n80\t-60.5\t0.25",
        "  0   0 0\n\n 80 0  0 \n\n80 -60.5 0.25\n\n",
        "\ufeffX,Y,Z\n0,0,0\n80,0,0\n80,-60.5,0.25",
        "X [mm]; Y [mm]; Z [mm]\n0; 0; 0\n80 mm; 0 mm; 0\n80; -60.5; 0.25",
    ],
)
def test_every_way_to_part_numbers(text: str) -> None:
    assert parse_points(text, "mm").points == POINTS


def test_the_line_of_each_point_is_kept() -> None:
    assert parse_points("x y z\n\n0 0 0\n\n80 0 0\n80 9 9", "mm").lines == (3, 5, 6)


def test_inches_and_fractions() -> None:
    """25.4 mm to the inch exactly, by the definition of 1959."""
    found = parse_points("0, 0, 0\n4 3/8, 1-1/2 in, 25.4 mm\n4.375 1.5 1", "in").points
    assert found[1:] == ((111.125, 38.1, 25.4),) * 2


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("12,5;3,0;0", "point: 12,5: a decimal comma: write the decimal point, 12.5"),
        ("12,5\t3\t0", "a decimal comma"),
        ("12,5 3,0 0,0", "a decimal comma"),
        ("12,5,3,0,0", "5 fields: three numbers, or a decimal comma"),
        ("1,2,3,4", "4 fields: three numbers, or a decimal comma"),
        ("1 2", "2 fields: three numbers a line"),
        ("1 2 3 4", "4 fields: three numbers a line"),
        ("1, two, 3", "Y: two"),
        ("1,,3", "Y: nothing"),
        ("1, 2, 1e3", "Z: 1e3"),
        ("1, 2 cm, 3", "no unit of length here: write mm or in"),
        ("1, 2 1/2, 3", "fractions belong to inches"),
        ("1, nan, 3", "Y: nan"),
        ("1, 007, 3", "spare zero"),
        ("words again", "2 fields"),
    ],
)
def test_what_is_no_point_is_refused_with_its_line(line: str, says: str) -> None:
    found = refused(f"x y z\n0, 0, 0\n{line}\n5, 5, 5")
    assert [at for at, _ in found] == [3]
    assert says in found[0][1]


def test_every_fault_is_told_at_once() -> None:
    assert [at for at, _ in refused("a, b, c\n1, 2\n1, 2, 3\n1, 2, x\n1,2;3;4")] == [2, 4, 5]


def test_a_header_in_another_unit_is_refused() -> None:
    lines = "0,0,0\n1,0,0\n1,1,0"
    assert "in: bare numbers are in mm here" in refused(f"X (in), Y (in), Z (in)\n{lines}")[0][1]
    assert "mm: bare numbers are in in here" in refused(f"X mm;Y mm;Z mm\n{lines}", "in")[0][1]
    assert "m: bare numbers" in refused(f"X (m), Y (m), Z (m)\n{lines}")[0][1]
    assert len(parse_points(f"Corner points in mm\n{lines}", "mm").points) == 3


def test_only_the_first_line_may_be_words() -> None:
    assert [at for at, _ in refused("points\nx y z\n1 2 3")] == [2]


def test_nothing_and_too_much() -> None:
    assert refused("\n \n") == [(1, "points: none: a line each: write X, Y, Z")]
    assert len(parse_points("1 2 3\n" * MOST_POINTS, "mm").points) == MOST_POINTS
    assert "203 points" in refused("1 2 3\n" * (MOST_POINTS + 1))[0][1]
