"""How near a tube comes to itself, on runs whose answer is known by construction."""

from dataclasses import replace
from math import ceil, cos, dist, inf, isclose, pi, radians, sin, sqrt, tan
from random import Random

import pytest

from benchcalc.core.clearance.clash import NEAR_MM, self_clash
from benchcalc.core.clearance.distance import SLACK_MM
from benchcalc.core.clearance.self_clearance import _Search, _stretches, nearest_to_itself
from benchcalc.core.finding import Finding
from benchcalc.core.geometry.vectors import Vector, scale
from benchcalc.core.job import Ends, Job, Segment
from benchcalc.core.layout.path import Path, Piece, trace
from benchcalc.core.layout.straight_tube import lay_out
from tests.core.bench_jobs import RADIUS_MM, STIFF, job

OD_MM = 10.0


def path_of(*segments: Segment, last_leg_mm: float = 100.0) -> Path:
    return trace(lay_out(job(*segments, last_leg_mm=last_leg_mm), STIFF))


def clashes(a_job: Job) -> list[Finding]:
    layout = lay_out(a_job, STIFF)
    return list(self_clash(a_job, layout, trace(layout)))


SQUARE = (Segment(200, 90), Segment(100, 90), Segment(100, 90))
"""Three corners of a square; a long last leg crosses the first."""


def test_a_u_bend_is_two_radii_apart() -> None:
    for length in (60.0, 300.0):
        found = nearest_to_itself(path_of(Segment(length, 180, to="crown"), last_leg_mm=length))
        assert found is not None and isclose(found.distance_mm, 2 * RADIUS_MM, abs_tol=SLACK_MM)


def test_most_of_a_circle() -> None:
    """Two bends of 150 without straights between or about them: their ends are nearest."""
    back = RADIUS_MM * tan(radians(75))
    bend = Segment(back, 150, to="corner")
    path = path_of(bend, replace(bend, leg_mm=2 * back), last_leg_mm=back)
    found = nearest_to_itself(path)
    assert found is not None and (found.first.bend, found.second.bend) == (1, 2)
    assert isclose(found.distance_mm, 2 * RADIUS_MM * sin(radians(150)), abs_tol=1e-9)


def straight_and_arc(rng: Random) -> Path:
    """A straight that runs into an arc, or an arc into a straight."""
    start, ahead, aside = (0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0)
    radius = rng.uniform(1.0, 2.5) * RADIUS_MM
    arc = Piece(start, ahead, aside, radius * rng.uniform(0.3, pi), radius, 1)
    straight = Piece(start, ahead, aside, rng.uniform(80.0, 200.0), 0.0, 1)
    first, second = (straight, arc) if rng.random() < 0.5 else (arc, straight)
    point, way = first.at(first.length_mm)
    second = second._replace(point=point, direction=way, normal=(-way[1], way[0], 0.0))
    return Path((first, second), *second.at(second.length_mm))


@pytest.mark.parametrize("seed", range(30))
def test_a_straight_and_the_arc_beside_it_are_nearest_at_the_border(seed: int) -> None:
    """Against every two places half a millimetre apart and pi R or more along the tube; elsewhere
    on it there is a sharper bend."""
    path = straight_and_arc(Random(f"beside {seed}"))
    search = _Search(_stretches(path), RADIUS_MM, inf, SLACK_MM)
    search.run()
    first, second = path.pieces
    count = int(2 * (first.length_mm + second.length_mm))
    points = [
        first.at(n / 2)[0] if n / 2 <= first.length_mm else second.at(n / 2 - first.length_mm)[0]
        for n in range(count + 1)
    ]
    apart = ceil(2 * pi * RADIUS_MM)
    least = min(dist(p, q) for i, p in enumerate(points) for q in points[i + apart :])
    found = search.nearest()
    assert found is not None
    assert least - 1.5 < found.distance_mm <= least + SLACK_MM


def test_a_straight_reach_is_pi_radii() -> None:
    """On one long straight the nearest pair that counts is the border's own."""
    found = nearest_to_itself(path_of(Segment(300, 0.5), last_leg_mm=20))
    assert found is not None and isclose(found.distance_mm, pi * RADIUS_MM, rel_tol=1e-4)


@pytest.mark.parametrize(
    "segments",
    [
        (Segment(100, 5),),
        (Segment(100, 90), Segment(50.5, 90)),
        (Segment(100, 90), Segment(50.5, 90, 180)),
        (Segment(100, 120), Segment(88, 60, 90), Segment(41, 30)),
    ],
    ids=["gentle", "U of two", "offset", "close together"],
)
def test_gentle_bends_and_bends_close_together_are_no_clash(segments: tuple[Segment, ...]) -> None:
    assert clashes(job(*segments)) == []


def test_a_tube_too_short_has_no_pairs() -> None:
    assert nearest_to_itself(path_of(Segment(30, 20), last_leg_mm=30)) is None


def test_the_last_leg_runs_through_the_first() -> None:
    found = nearest_to_itself(path_of(*SQUARE, last_leg_mm=200))
    assert found is not None and found.distance_mm < SLACK_MM
    assert isclose(found.first.at_mm, 100, abs_tol=1e-6) and found.first.leg == 1
    assert found.second.leg == 4 and found.first.bend is None
    assert found.second.point == pytest.approx((100, 0, 0), abs=1e-6)


def test_legs_that_cross_at_a_height() -> None:
    """Up by a leg of 60 between the two that would cross: 60 apart, at the crossing."""
    legs = (Segment(200, 90), Segment(60, 90, 90), Segment(60, 90, -90), Segment(100, 90, 90))
    found = nearest_to_itself(path_of(*legs, last_leg_mm=120))
    assert found is not None and isclose(found.distance_mm, 60, abs_tol=1e-9)
    assert found.second.leg == 5 and isclose(found.first.at_mm, 100, abs_tol=1e-6)


def test_a_reach_leaves_out_what_is_farther() -> None:
    path = path_of(Segment(100, 180, to="crown"))
    assert nearest_to_itself(path, 2 * RADIUS_MM - 0.01) is None
    found = nearest_to_itself(path, 2 * RADIUS_MM + 0.01)
    assert found is not None and isclose(found.distance_mm, 2 * RADIUS_MM, abs_tol=SLACK_MM)


def test_a_straight_under_zero_is_no_tube() -> None:
    path = path_of(Segment(100, 90), Segment(40, 90))
    with pytest.raises(ValueError, match="lengthen its leg"):
        nearest_to_itself(path)
    assert clashes(job(Segment(100, 90), Segment(40, 90))) == []


def test_motion_and_the_other_end_change_nothing() -> None:
    for seed in range(60):
        rng = Random(seed)
        segments = [
            Segment(rng.uniform(105, 160), rng.uniform(20, 125), rng.uniform(-180, 180))
            for _ in range(6)
        ]
        path = path_of(*segments, last_leg_mm=150)
        found = nearest_to_itself(path)
        assert found is not None
        for other in (moved(path, rng), backwards(path)):
            again = nearest_to_itself(other)
            assert again is not None
            assert isclose(again.distance_mm, found.distance_mm, abs_tol=SLACK_MM + 1e-9), seed


def moved(path: Path, rng: Random) -> Path:
    """The path turned about x and z and shifted."""
    shift = (rng.uniform(-99, 99), rng.uniform(-99, 99), rng.uniform(-99, 99))
    first, second = rng.uniform(0, 2 * pi), rng.uniform(0, 2 * pi)

    def turn(v: Vector) -> Vector:
        x, y, z = v
        c, s = cos(first), sqrt(1 - cos(first) ** 2)
        y, z = y * c - z * s, y * s + z * c
        c, s = cos(second), sqrt(1 - cos(second) ** 2)
        return x * c - y * s, x * s + y * c, z

    def place(v: Vector) -> Vector:
        x, y, z = turn(v)
        return x + shift[0], y + shift[1], z + shift[2]

    pieces = tuple(
        p._replace(point=place(p.point), direction=turn(p.direction), normal=turn(p.normal))
        for p in path.pieces
    )
    return Path(pieces, place(path.end_point), turn(path.end_direction))


def backwards(path: Path) -> Path:
    """The same tube from its far end."""
    pieces: list[Piece] = []
    for piece in reversed(path.pieces):
        end, heads = piece.at(piece.length_mm)
        normal = piece.normal
        if piece.radius_mm:
            normal = piece.at(piece.length_mm + radians(90) * piece.radius_mm)[1]
        pieces.append(piece._replace(point=end, direction=scale(heads, -1), normal=normal))
    first = path.pieces[0]
    return Path(tuple(pieces), first.point, scale(first.direction, -1))


def lifted(height_mm: float) -> Job:
    """Legs that cross at a height, on an allowance of 7 mm at the reference end."""
    legs = (
        Segment(200, 90), Segment(100, 90, 90), Segment(height_mm + 100, 90, -90),
        Segment(100, 90), Segment(100, 90, 90),
    )  # fmt: skip
    return replace(job(*legs, last_leg_mm=200), ends=Ends(7.0, 0.0))


@pytest.mark.parametrize(
    ("height_mm", "level"),
    [(OD_MM - 0.01, "stop"), (OD_MM, "caution"), (OD_MM + 0.9, "caution"), (OD_MM + 1.1, None)],
)
def test_findings(height_mm: float, level: str | None) -> None:
    found = clashes(lifted(height_mm))
    assert [one.level for one in found] == ([level] if level else [])
    if found:
        values = dict(found[0].values)
        assert found[0].rule == "clash-self" and values["near_mm"] == NEAR_MM
        assert values["gap_mm"] == pytest.approx(height_mm - OD_MM, abs=1e-9)
        assert (values["first_on"], values["first_number"]) == ("leg", 1)
        assert (values["second_on"], values["second_number"]) == ("leg", 6)
        assert values["first_mm"] == pytest.approx(107, abs=1e-6)
