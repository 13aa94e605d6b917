"""Port to port on random pairs: every answer arrives, and nothing stops it from being bent."""

from collections import Counter
from dataclasses import replace
from functools import cache
from math import dist, sqrt
from random import Random

import pytest

from benchcalc.core.checks.findings import find_all
from benchcalc.core.geometry.directions import ORDINARY_DEG
from benchcalc.core.geometry.vectors import Vector
from benchcalc.core.job import Job, Run, Segment
from benchcalc.core.layout.path import trace
from benchcalc.core.layout.straight_tube import lay_out
from benchcalc.core.shapes.ports import Answer, Port, closing_runs, port_to_port
from tests.properties.bendable_jobs import BENDER, LAW, STEEL, TUBE

PAIRS = 500
BATCHES = 5
CLOSE_MM = 1e-6
CLOSE = 1e-9
JOB = Job("ports", TUBE, STEEL, BENDER, Run((Segment(100.0, 90.0),), 100.0))


def heading(rng: Random) -> Vector:
    x, y, z = (rng.gauss(0, 1) for _ in range(3))
    size = sqrt(x * x + y * y + z * z)
    return x / size, y / size, z / size


@cache
def pair(seed: int) -> tuple[Port, Port]:
    """Two ports 150 to 700 mm apart; every third pair stands square to the axes."""
    rng = Random(f"ports {seed}")
    start = Port((rng.uniform(-50, 50), rng.uniform(-50, 50), 0.0), heading(rng))
    away, far = heading(rng), rng.uniform(150, 700)
    point = tuple(a + far * b for a, b in zip(start.point, away, strict=True))
    end = Port((point[0], point[1], point[2]), heading(rng))
    if seed % 3 == 0:
        axes = [(1.0, 0.0, 0.0), (-1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, -1.0)]
        start, end = start._replace(travel=axes[0]), end._replace(travel=rng.choice(axes))
    return start, end


@cache
def answers(seed: int) -> tuple[Answer, ...]:
    return port_to_port(JOB, LAW, *pair(seed))


def check(seed: int, answer: Answer) -> None:
    start, end = pair(seed)
    job = replace(JOB, run=answer.run)
    layout = lay_out(job, LAW)
    path = trace(layout)
    far = answer.frame.place(path.end_point)
    assert answer.frame.point == start.point
    assert dist(answer.frame.travel, start.travel) < CLOSE_MM
    assert dist(far, end.point) < CLOSE_MM, f"seed {seed}"
    assert dist(answer.frame.out(path.end_direction), end.travel) < CLOSE, f"seed {seed}"
    stops = [f.rule for f in find_all(job, layout, LAW) if f.level == "stop"]
    assert stops == [], f"seed {seed}"
    assert all(bend.bend_to_deg <= BENDER.max_angle_deg for bend in layout.bends)
    assert all(b.straight_before_mm >= BENDER.between_mm - 1e-6 for b in layout.bends[1:])


@pytest.mark.parametrize("batch", range(BATCHES))
def test_every_answer_arrives_and_can_be_bent(batch: int) -> None:
    for seed in range(batch, PAIRS, BATCHES):
        found = answers(seed)
        for answer in found:
            check(seed, answer)
            angles = [segment.angle_deg for segment in answer.run.segments]
            assert answer.ordinary == all(angle in ORDINARY_DEG for angle in angles)
        ranks = [
            (not a.ordinary, len(a.run.segments), round(a.layout.cut_length_mm, 6)) for a in found
        ]
        assert ranks == sorted(ranks), f"seed {seed}"


def test_nearly_every_pair_has_answers_and_most_of_them_ordinary_angles() -> None:
    seen = Counter(f"{len(answers(seed))} answers" for seed in range(PAIRS))
    best = Counter((answers(s)[0].ordinary if answers(s) else None) for s in range(PAIRS))
    assert seen["0 answers"] <= PAIRS // 50, seen
    assert best[True] >= PAIRS * 9 // 10, best


def test_two_bends_at_ordinary_angles_are_found_where_they_exist() -> None:
    """An offset and a step, as a fitter would see them at once."""
    offset = port_to_port(JOB, LAW, Port((0, 0, 0), (1, 0, 0)), Port((300, 60, 0), (1, 0, 0)))
    assert [s.angle_deg for s in offset[0].run.segments] == [22.5, 22.5]
    step = port_to_port(JOB, LAW, Port((0, 0, 0), (1, 0, 0)), Port((100, 150, 90), (0, 0, 1)))
    assert [s.angle_deg for s in step[0].run.segments] == [90.0, 90.0]
    bend = port_to_port(JOB, LAW, Port((0, 0, 0), (1, 0, 0)), Port((200, 150, 0), (0, 1, 0)))
    assert [s.angle_deg for s in bend[0].run.segments] == [90.0]


@pytest.mark.parametrize("seed", range(40))
def test_a_run_is_closed_to_a_port_from_where_it_has_got_to(seed: int) -> None:
    rng = Random(f"closing {seed}")
    before = (Segment(90.0, 90.0), Segment(110.0, rng.choice((60.0, 170.0)), 70.0))
    job = replace(JOB, measured="outside" if seed % 2 else "centre")
    x, y, z = (rng.uniform(-400, 400) for _ in range(3))
    end = Port((x, y, z), heading(rng))
    found = closing_runs(job, LAW, before, end)
    assert found, f"seed {seed}"
    for answer in found:
        whole = replace(job, run=answer.run)
        layout = lay_out(whole, LAW)
        path = trace(layout)
        assert answer.run.segments[:2] == before
        assert dist(path.end_point, end.point) < CLOSE_MM
        assert dist(path.end_direction, end.travel) < CLOSE
        assert not [f for f in find_all(whole, layout, LAW) if f.level == "stop"]


def test_the_closing_run_counts_its_first_turn_from_the_bend_before() -> None:
    """After a quarter towards +Y the tube curves towards -X; from there up is clockwise."""
    end = Port((90.0, 200.0, 150.0), (0.0, 0.0, 1.0))
    (best, *_) = closing_runs(JOB, LAW, (Segment(90.0, 90.0),), end)
    assert [s.angle_deg for s in best.run.segments] == [90.0, 90.0]
    assert best.run.segments[1].turn_deg == pytest.approx(90.0)
    assert best.run.segments[1].leg_mm == pytest.approx(200.0)


def test_ports_too_close_have_no_answer_or_a_bendable_one() -> None:
    start, end = Port((0, 0, 0), (1, 0, 0)), Port((5, 0, 0), (-1, 0, 0))
    for answer in port_to_port(JOB, LAW, start, end):
        assert dist(answer.end.point, end.point) < CLOSE_MM


def test_a_port_without_a_direction_is_refused() -> None:
    with pytest.raises(ValueError, match="no direction"):
        port_to_port(JOB, LAW, Port((0, 0, 0), (0, 0, 0)), Port((5, 0, 0), (1, 0, 0)))
