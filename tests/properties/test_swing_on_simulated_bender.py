"""The swept tube against a bender that knows nothing of frames, pulled degree by degree."""

from copy import deepcopy
from dataclasses import replace
from random import Random

import numpy as np
import pytest
from numpy.linalg import norm

from benchcalc.core.clearance.swing import NEAR_MM, SLACK_MM, STEP_RAD, Meeting, swing
from benchcalc.core.finding import SAME_MM
from benchcalc.core.geometry.envelope import Block, Body, Capsule, Envelope, Plane
from benchcalc.core.layout.straight_tube import BendLayout
from benchcalc.core.sheet import Sheet, work_out
from tests.properties.random_jobs import random_job, random_springback
from tests.properties.simulated_bender import Array, Mask, SimulatedBender
from tests.properties.test_simulated_bender import stations

RUNS, BATCHES = 120, 4
ANGLES = 61
SPACING_MM = 2.0


def random_bodies(rng: Random, radius_mm: float, od_mm: float) -> tuple[Body, ...]:
    """A die, a handle, a vice and a bench, in all sizes, of which a tube may meet any."""
    size = radius_mm * rng.uniform(1, 3)
    x, y = rng.uniform(-3, 3) * size, rng.uniform(-3, 3) * size
    return (
        Capsule("die", (0, radius_mm, -od_mm), (0, radius_mm, od_mm), radius_mm - od_mm / 2),
        Capsule("handle", (-size, -size, y / 4), (-4 * size, x, -y / 4), od_mm),
        Block("vice", (x, y, -2 * size), (x + size, y + size, -od_mm)),
        Plane("bench", (rng.uniform(-0.3, 0.3), 0, 1), -size * rng.uniform(0.5, 4)),
    )


def sheet_among(seed: int) -> Sheet:
    job, rng = random_job(seed, most_bends=5), Random(f"bodies {seed}")
    bodies = random_bodies(rng, job.bender.radius_mm, job.tube.od_mm)
    envelope = Envelope(
        tuple(b for b in bodies if isinstance(b, Capsule)),
        tuple(b for b in bodies if isinstance(b, Block)),
        tuple(b for b in bodies if isinstance(b, Plane)),
    )
    bender = replace(job.bender, finished_radius_mm=None, envelope=envelope)
    return work_out(replace(job, bender=bender), random_springback(seed))


def depth(body: Body, points: Array) -> Array:
    """How far points lie off a body, its own way of working it out."""
    if isinstance(body, Plane):
        normal = np.array(body.faces) / norm(body.faces)
        return np.asarray(np.maximum(points @ normal - body.at_mm, 0))
    if isinstance(body, Block):
        return np.asarray(norm(points - np.clip(points, body.low_mm, body.high_mm), axis=1))
    start, way = np.array(body.from_mm), np.subtract(body.to_mm, body.from_mm)
    share = np.clip((points - start) @ way / (way @ way), 0, 1)
    off = norm(points - start - share[:, None] * way, axis=1) - body.radius_mm
    return np.asarray(off)


def looked_at(sheet: Sheet, bend: BendLayout, at: Array) -> tuple[Mask, Mask]:
    """Which stations count, and which of those are bent already or beyond a bend."""
    bender, sense = sheet.job.bender, 1.0 if bend.held == "reference" else -1.0
    along = sense * (at - (bend.start_mm if sense > 0 else bend.end_mm))
    low, high = -np.inf, np.inf
    for other in sheet.layout.bends:
        if other.order < bend.order:
            near, far = sorted(
                sense * (edge - (bend.start_mm if sense > 0 else bend.end_mm))
                for edge in (other.start_mm, other.end_mm)
            )
            low = max(low, far) if far <= SAME_MM else low
            high = min(high, near) if far > SAME_MM else high
    bent = (along < low - SAME_MM) | (along > high + SAME_MM)
    held = -max(bender.grip_mm, bender.radius_mm)
    free = bend.arc_mm + max(bender.free_mm, bender.radius_mm)
    return bent | (along < held) | (along > free), bent


def swept(bench: SimulatedBender, loaded_deg: float) -> list[Array]:
    """All places of the tube at equal steps of the pull."""
    rows = []
    for angle in np.linspace(0, loaded_deg, ANGLES):
        pulled = deepcopy(bench)
        pulled.a_deg = pulled.b = 0.0
        if angle:
            pulled.pull_to(float(angle))
        rows.append(pulled.places)
    return rows


def compare(sheet: Sheet, bend: BendLayout, bench: SimulatedBender, made: set[int]) -> list[str]:
    """What the sweep and the sampled swing say of each body; the kinds that occurred."""
    told = {one.body: one for one in swing(sheet.job, sheet.layout, bend.number, bend.held, made)}
    counts, bent = looked_at(sheet, bend, bench.stations_mm)
    rows = swept(bench, bend.bend_to_deg)
    reach = float(norm(np.diff(rows, axis=0), axis=2)[:, counts].max(initial=0.0))
    coarse_mm = (reach + SPACING_MM) / 2
    kinds = []
    for body in sheet.job.bender.envelope.bodies:
        offs = np.array([depth(body, places) for places in rows]) - sheet.job.tube.od_mm / 2
        allowed = np.where(bent, NEAR_MM, 0.0) - SLACK_MM
        one = told.get(body.name)
        if one is None:
            assert (offs >= allowed)[:, counts].all(), body
            kinds.append("clear")
        elif one.gap_mm >= 0:
            assert offs[:, counts & bent].min() >= one.gap_mm - SLACK_MM, body
            assert offs[:, counts].min() <= one.gap_mm + coarse_mm, body
            kinds.append("near")
        else:
            kinds.append(assert_first_contact(one, offs[:, counts], bend.bend_to_deg, coarse_mm))
    return kinds


def assert_first_contact(one: Meeting, offs: Array, loaded_deg: float, coarse_mm: float) -> str:
    """Clear all the way up to the contact, touching about there."""
    angles = np.linspace(0, loaded_deg, ANGLES)
    before = angles < one.angle_deg - np.degrees(STEP_RAD) - 1e-9
    assert (offs[before] >= -SLACK_MM).all(), one
    near = abs(angles - one.angle_deg) <= loaded_deg / (ANGLES - 1)
    assert offs[near].min() <= coarse_mm, one
    return "meets at once" if one.angle_deg == 0 else "meets on the way"


@pytest.mark.parametrize("batch", range(BATCHES))
def test_the_sweep_is_what_the_bender_does(batch: int) -> None:
    kinds: list[str] = []
    for seed in range(batch, RUNS, BATCHES):
        sheet = sheet_among(seed)
        law = sheet.springback
        spaced = np.arange(0, sheet.layout.cut_length_mm, SPACING_MM)
        rows = sorted({*stations(sheet.layout), *map(float, spaced)})
        bench = SimulatedBender(rows, sheet.job.bender.radius_mm, law.a_deg, law.b)
        if sheet.layout.in_order[0].held == "far":
            bench.lay_end_for_end()
        made: set[int] = set()
        for bend, turn in zip(sheet.layout.in_order, sheet.turns, strict=True):
            assert bend.mark is not None
            if turn.end_for_end:
                bench.lay_end_for_end()
            bench.turn(turn.by_deg, turn.way == "clockwise")
            bench.clamp(bend.mark.at_mm, bend.mark.line.offset_mm)
            kinds += compare(sheet, bend, bench, made)
            bench.pull_to(bend.bend_to_deg)
            made.add(bend.number)
    counted = {kind: kinds.count(kind) for kind in kinds}
    assert len(counted) == 4 and min(counted.values()) >= 2, counted
