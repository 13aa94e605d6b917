"""The layout and the path of thousands of runs against a solid-geometry kernel."""

from collections import Counter
from dataclasses import replace
from math import dist
from random import Random
from typing import get_args

import pytest

from benchcalc.core.job import Job, Measured
from benchcalc.core.layout.path import corner_points, trace
from benchcalc.core.layout.straight_tube import Layout, lay_out
from benchcalc.core.springback.first_guess import Springback
from tests.properties.kernel_tube import Drawn, Side, draw
from tests.properties.random_jobs import random_job, random_springback

RUNS = 4000
BATCHES = 8
SHARE = 1e-9
"""Largest difference against the run's length: far over rounding, far under any tape."""


def finished_radii(job: Job, springback: Springback) -> list[float]:
    """The radius of each released bend, or the one that was measured.

    The arc that was wrapped keeps its length and opens by the slope; the offset is the legs'.
    """
    measured = job.bender.finished_radius_mm
    if measured is not None:
        return [measured] * len(job.run.segments)
    return [job.bender.radius_mm / (1 - springback.b)] * len(job.run.segments)


def drawn_in_kernel(job: Job, springback: Springback) -> Drawn:
    legs = [s.leg_mm for s in job.run.segments] + [job.run.last_leg_mm]
    bends = [(s.angle_deg, s.turn_deg, s.crown) for s in job.run.segments]
    return draw(legs, bends, finished_radii(job, springback), job.tube.od_mm)


def as_measured(job: Job, drawn: Drawn, seed: int) -> Job:
    """The same run with its legs written as the kernel measures them on heel, throat or centre."""
    rng = Random(f"measured {seed}")
    sides: tuple[Side, ...] = get_args(Measured)
    whole = rng.choice(sides)
    segments = []
    for number, segment in enumerate(job.run.segments, 1):
        own = rng.choice((None, *sides))
        leg = drawn.leg(number, segment.leg_mm, own or whole)
        segments.append(replace(segment, leg_mm=leg, measured=own))
    own = rng.choice((None, *sides))
    last = drawn.leg(len(segments) + 1, job.run.last_leg_mm, own or whole)
    run = replace(job.run, segments=tuple(segments), last_leg_mm=last, last_measured=own)
    return replace(job, run=run, measured=whole)


def worst_difference(job: Job, layout: Layout, drawn: Drawn) -> float:
    """The largest difference between tool and kernel, as a share of the run's length."""
    path = trace(layout)
    gaps = [layout.cut_length_mm - (job.ends.start_mm + drawn.length + job.ends.finish_mm)]
    for bend, (start, end) in zip(layout.bends, drawn.spans(job.ends.start_mm), strict=True):
        gaps += [bend.start_mm - start, bend.end_mm - end]
        if bend.mark is not None:
            offset = bend.mark.line.offset_mm
            mark = start + offset if bend.held == "reference" else end - offset
            gaps.append(bend.mark.at_mm - mark)
    far = drawn.end
    gaps.append(dist(path.end_point, (far.X(), far.Y(), far.Z())))
    heads = drawn.heads
    turned_off = dist(path.end_direction, (heads.X(), heads.Y(), heads.Z()))
    return max(max(abs(gap) for gap in gaps) / drawn.length, turned_off)


@pytest.mark.parametrize("batch", range(BATCHES))
def test_thousands_of_runs_agree_with_the_kernel(batch: int) -> None:
    for seed in range(batch, RUNS, BATCHES):
        job, springback = random_job(seed), random_springback(seed)
        drawn = drawn_in_kernel(job, springback)
        measured = as_measured(job, drawn, seed)
        worst = worst_difference(measured, lay_out(measured, springback), drawn)
        assert worst < SHARE, f"seed {seed}: {worst:g} of the run's length"


@pytest.mark.parametrize("seed", range(100))
def test_corner_points_lie_where_the_kernel_put_them(seed: int) -> None:
    job, springback = random_job(seed), random_springback(seed)
    drawn = drawn_in_kernel(job, springback)
    layout = lay_out(job, springback)
    points = corner_points(layout, trace(layout))
    for point, bend, segment in zip(points[1:], drawn.bends, job.run.segments, strict=False):
        if not segment.crown:
            corner = bend.next_point
            gap = dist(point, (corner.X(), corner.Y(), corner.Z()))
            assert gap < SHARE * drawn.length, f"seed {seed}"


def test_the_comparison_sees_a_tenth_of_a_degree_and_a_mirror_image() -> None:
    job, springback = random_job(7), random_springback(7)
    drawn = drawn_in_kernel(job, springback)
    assert worst_difference(job, lay_out(job, springback), drawn) < SHARE
    first, *rest = job.run.segments
    bent_more = replace(first, angle_deg=first.angle_deg + 0.1)
    mirrored = tuple(replace(s, turn_deg=-s.turn_deg) for s in job.run.segments)
    for segments in ((bent_more, *rest), mirrored):
        other = replace(job, run=replace(job.run, segments=segments))
        assert worst_difference(other, lay_out(other, springback), drawn) > 1000 * SHARE


def test_the_random_runs_hold_every_kind() -> None:
    seen: Counter[str] = Counter()
    for seed in range(RUNS):
        job = random_job(seed)
        seen[job.units] += 1
        seen[f"{len(job.run.segments)} bends"] += 1
        seen["measured radius"] += job.bender.finished_radius_mm is not None
        seen["own order"] += job.bending_order != tuple(range(1, len(job.run.segments) + 1))
        seen["tube taken up"] += min(job.ends.start_mm, job.ends.finish_mm) < 0
        seen["tube added"] += max(job.ends.start_mm, job.ends.finish_mm) > 0
        for segment in job.run.segments:
            seen["crown" if segment.crown else "corner"] += 1
            seen[segment.held or job.held] += 1
            seen["U"] += segment.angle_deg == 180
            seen["turned past half"] += abs(segment.turn_deg) > 180
    kinds = (
        "mm", "in", "1 bends", "12 bends", "measured radius", "own order", "tube taken up",
        "tube added", "crown", "corner", "reference", "far", "U", "turned past half",
    )  # fmt: skip
    assert {kind: seen[kind] for kind in kinds if seen[kind] < RUNS // 30} == {}
