"""The tube against the bender while it swings, in cases whose answer is known by construction."""

from collections.abc import Callable
from dataclasses import replace
from math import cos, degrees, hypot, isclose, pi, radians, sin
from random import Random

import pytest

from benchcalc.core.clearance.clash import bender_clash
from benchcalc.core.clearance.order import best_order
from benchcalc.core.clearance.swing import NEAR_MM, SLACK_MM, Meeting, meetings
from benchcalc.core.geometry.envelope import Block, Body, Capsule, Envelope, Plane
from benchcalc.core.job import End, Ends, Job, Segment
from benchcalc.core.layout.hand_turns import hand_turns
from benchcalc.core.layout.straight_tube import lay_out
from benchcalc.core.serialize import deserialize, serialize
from tests.core.bench_jobs import RADIUS_MM, STIFF, job

HALF_OD = 5.0
TOLD_DEG = 0.11
"""The first contact is told to a tenth of a degree."""


def among(*bodies: Body, of: Job, held: End = "reference") -> Job:
    """A job on a die with these bodies about it."""
    envelope = Envelope(
        tuple(b for b in bodies if isinstance(b, Capsule)),
        tuple(b for b in bodies if isinstance(b, Block)),
        tuple(b for b in bodies if isinstance(b, Plane)),
    )
    return replace(of, bender=replace(of.bender, envelope=envelope), held=held)


def met(a_job: Job) -> list[Meeting]:
    return list(meetings(a_job, lay_out(a_job, STIFF)))


def crossing(value: Callable[[float], float], low: float, high: float) -> float:
    """Where a rising function goes through zero."""
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (low, middle) if value(middle) > 0 else (middle, high)
    return high


def bench(depth_mm: float) -> Plane:
    """A bench top so far below the bending plane."""
    return Plane("bench", (0, 0, 1), -depth_mm)


DOWN = job(Segment(100, 90), Segment(150, 90, 90))
"""With the reference end held and bend 1 made, its leg hangs 100 mm down while bend 2 is pulled."""


@pytest.mark.parametrize(
    ("depth_mm", "gap_mm"), [(90, -15), (104.9, -0.1), (105.0, 0), (106.5, 1.5), (107.1, None)]
)
def test_the_bench_plane_under_a_hanging_leg(depth_mm: float, gap_mm: float | None) -> None:
    found = met(among(bench(depth_mm), of=DOWN))
    if gap_mm is None:
        assert found == []
        return
    (one,) = found
    assert (one.bend, one.body, one.angle_deg, one.swings) == (2, "bench", 0, False)
    assert isclose(one.gap_mm, max(gap_mm, -HALF_OD), abs_tol=SLACK_MM)
    assert isclose(one.at_mm, 0, abs_tol=1e-9) and isclose(one.point[2], -100, abs_tol=1e-9)


def test_the_bench_plane_from_the_other_end() -> None:
    """The far end held and bend 2 made first, it lies under bend 1 no more: bend 2's leg rises."""
    assert met(among(bench(90), of=DOWN, held="far")) == []
    upside_down = job(Segment(100, 90), Segment(150, 90, -90))
    assert met(among(bench(90), of=upside_down)) == []
    assert [one.bend for one in met(among(bench(90), of=upside_down, held="far"))] == [2]


def test_allowances_hang_down_too() -> None:
    longer = replace(DOWN, ends=Ends(20.0, 0.0))
    (one,) = met(among(bench(105), of=longer))
    assert one.gap_mm < 0
    assert met(among(bench(105 + 20 + NEAR_MM + 0.1), of=longer)) == []


def tip(angle: float, arc_mm: float, straight_mm: float) -> tuple[float, float]:
    """The end of the free leg, rolled round the die."""
    free = arc_mm + straight_mm - RADIUS_MM * angle
    x = RADIUS_MM * sin(angle) + free * cos(angle)
    return x, RADIUS_MM * (1 - cos(angle)) + free * sin(angle)


@pytest.mark.parametrize("held", ["reference", "far"])
def test_a_wall_on_the_side_of_the_bend(held: End) -> None:
    """The free leg's tip reaches a wall 60 mm off before the bend is done, at a known angle."""
    wall = Plane("wall", (0, -1, 0), -60)
    (one,) = met(among(wall, of=job(Segment(100, 90)), held=held))
    meets = crossing(lambda a: tip(a, 90 * RADIUS_MM * pi / 180, 75)[1] + HALF_OD - 60, 0, pi / 2)
    assert one.gap_mm < 0 and one.swings
    assert 0 <= one.angle_deg - degrees(meets) < TOLD_DEG
    assert isclose(one.at_mm, 100 + 100 - 0.429204 * RADIUS_MM if held == "reference" else 0,
                   abs_tol=1e-3)  # fmt: skip


def test_a_wall_just_out_of_reach() -> None:
    highest = max(tip(radians(a / 100), 90 * RADIUS_MM * pi / 180, 75)[1] for a in range(9001))
    wall = Plane("wall", (0, -1, 0), -(highest + HALF_OD + 0.1))
    assert met(among(wall, of=job(Segment(100, 90)))) == []


def line_square(angle: float, x: float, y: float) -> float:
    """From a point of the bending plane to the line of the free leg."""
    from_x, from_y = x - RADIUS_MM * sin(angle), y - RADIUS_MM * (1 - cos(angle))
    return abs(from_y * cos(angle) - from_x * sin(angle))


@pytest.mark.parametrize("shape", ["post", "box"])
def test_a_post_in_the_middle_of_the_swing(shape: str) -> None:
    """Free of it at the start and at the end of the pull, the leg meets it in between."""
    x, y = 60.0, 60.0
    if shape == "post":
        body: Body = Capsule("post", (x, y, -50), (x, y, 50), 3.0)
        meets = crossing(lambda a: HALF_OD + 3.0 - line_square(a, x, y), 0, radians(50))
    else:
        body = Block("post", (x, y, -50), (x + 10, y + 10, 50))
        # The box's low edge towards +x is what the leg comes to from below.
        meets = crossing(lambda a: HALF_OD - line_square(a, x + 10, y), 0, radians(45))
    (one,) = met(among(body, of=job(Segment(100, 90), last_leg_mm=160)))
    assert 0 <= one.angle_deg - degrees(meets) < TOLD_DEG and one.gap_mm < 0
    assert met(among(body, of=job(Segment(100, 20), last_leg_mm=160))) == []


def test_thin_posts_all_over_the_swing() -> None:
    """Whether and where a long leg meets each of many posts, from its rolling line alone."""
    leg_mm, radius = 500.0, 0.5
    a_job, rng = job(Segment(100, 90), last_leg_mm=leg_mm), Random(4)
    layout = lay_out(a_job, STIFF)
    arc = layout.bends[0].arc_mm
    low, high = arc + RADIUS_MM, arc + layout.straight_after_mm
    angles = [radians(tenth / 20) for tenth in range(1801)]
    kinds = []
    for number in range(150):
        x, y = rng.uniform(-15, 500), rng.uniform(-20, 560)
        post = Capsule(f"post {number}", (x, y, -9), (x, y, 9), radius)
        offs = [leg_off(a, x, y, low, high) - radius - HALF_OD for a in angles]
        found = met(among(post, of=a_job))
        first = next((a for a, off in zip(angles, offs, strict=True) if off < 0), None)
        if abs(min(offs)) > SLACK_MM:
            assert bool(found) == (first is not None), number
            kinds.append(first is not None)
        if found and first is not None:
            assert abs(found[0].angle_deg - degrees(first)) < TOLD_DEG, number
    assert kinds.count(True) > 40 and kinds.count(False) > 40


def leg_off(angle: float, x: float, y: float, low_mm: float, high_mm: float) -> float:
    """From a point of the bending plane to a stretch of the free leg, rolled round the die."""
    x, y = x - RADIUS_MM * sin(angle), y - RADIUS_MM * (1 - cos(angle))
    ahead = x * cos(angle) + y * sin(angle)
    fed = RADIUS_MM * angle
    nearest = min(max(ahead, low_mm - fed), high_mm - fed)
    return hypot(ahead - nearest, y * cos(angle) - x * sin(angle))


def test_the_die_and_the_clamp_are_meant_to_be_touched() -> None:
    """Along the straight in the bender nothing is told; a flange wider than the die radius is."""
    die = Capsule("die", (0, RADIUS_MM, -8), (0, RADIUS_MM, 8), RADIUS_MM + HALF_OD)
    clamp = Block("clamp", (-20, -8, -8), (-2, 8, 8))
    assert met(among(die, clamp, of=job(Segment(100, 90)))) == []
    wide = Capsule("die", (0, RADIUS_MM, -8), (0, RADIUS_MM, 8), 2 * RADIUS_MM)
    assert {one.body for one in met(among(wide, of=job(Segment(100, 90))))} == {"die"}


def test_what_is_bent_already_is_looked_at_close_to_the_die() -> None:
    """An offset whose first bend lies 10 mm from the second: it leans away from the die."""
    near = job(Segment(100, 45), Segment(10 + 2 * RADIUS_MM * 0.4142136, 45, 180))
    block = Block("clamp", (-40, -30, -10), (-12, -6, 10))
    found = met(among(block, of=near))
    assert [(one.bend, one.swings) for one in found] == [(2, False)]


def test_findings() -> None:
    a_job = among(bench(90), of=DOWN)
    (stop,) = bender_clash(a_job, lay_out(a_job, STIFF))
    assert (stop.level, stop.rule, stop.bend) == ("stop", "clash-bender", 2)
    assert dict(stop.values)["body"] == "bench" and dict(stop.values)["side"] == "held"
    a_job = among(bench(106), of=DOWN)
    (caution,) = bender_clash(a_job, lay_out(a_job, STIFF))
    assert caution.level == "caution"
    overlapping = among(bench(1), of=job(Segment(100, 90), Segment(40, 90)))
    assert list(bender_clash(overlapping, lay_out(overlapping, STIFF))) == []
    assert list(bender_clash(DOWN, lay_out(DOWN, STIFF))) == []


def test_another_way_is_proposed_with_the_fewest_turnings() -> None:
    a_job = among(bench(90), of=DOWN)
    found = best_order(a_job, STIFF)
    assert found is not None and (found.turnings, found.end_for_end) == (1, 0)
    assert met(found.job) == []
    turns = hand_turns(lay_out(found.job, STIFF))
    assert sum((turn.by_deg > 0) + turn.end_for_end for turn in turns) == found.turnings


def test_nothing_is_proposed_where_nothing_works() -> None:
    """A leg hangs down whichever end is held, or the bench is too near for both."""
    both = among(bench(20), Plane("shelf", (0, 0, -1), -20), of=DOWN)
    assert best_order(both, STIFF) is None


def test_a_way_that_works_is_kept() -> None:
    a_job = among(bench(500), of=job(*(Segment(120, 90, 30) for _ in range(8))))
    found = best_order(a_job, STIFF)
    assert found is not None and found.job.bending_order == tuple(range(1, 9))
    assert found.job.held == "reference" and found.turnings == 7


def test_envelopes_keep_in_the_log() -> None:
    bender = among(bench(90), Capsule("die", (0, 1, 2), (3, 4, 5), 6.0), of=DOWN).bender
    assert deserialize(type(bender), serialize(bender)) == bender


def test_the_handle_along_the_tube() -> None:
    """A handle 30 mm under the held side: an earlier bend that curves down to it meets it."""
    handle = Capsule("handle", (-40, 0, -30), (-400, 0, -30), 8.0)
    found = met(among(handle, of=DOWN))
    assert [(one.bend, one.swings) for one in found] == [(2, False)]
    x, y, z = found[0].point
    assert hypot(y, z + 30) < 8 + HALF_OD and x < -40
