"""Random runs in space that a bender with needs of its own can bend, each from its seed alone."""

from dataclasses import replace
from itertools import pairwise
from math import radians, tan
from random import Random

from benchcalc.core.checks.findings import find_all
from benchcalc.core.job import Bender, Job, Line, Material, Run, Segment, Tube, WallRange
from benchcalc.core.layout.straight_tube import lay_out
from benchcalc.core.springback.first_guess import Springback

STEEL = Material("steel", (600.0,), (0.21,), 200000.0, 0.5)
LAW = Springback(0.4, 0.02, 0.01, 1e-5, source="measured")
RADIUS_MM = 24.0
LINES = (Line("start", 0.0), *(Line(f"{a}", RADIUS_MM * tan(radians(a) / 2), a) for a in (45, 90)))
BENDER = Bender(
    "bench", 8.0, RADIUS_MM, 180.0, LINES,
    walls=(WallRange("any", 0.5, 1.5),), grip_mm=30.0, free_mm=25.0, between_mm=10.0,
)  # fmt: skip
TUBE = Tube(8.0, 1.0, "steel")
ANGLES_DEG = (22.5, 30.0, 45.0, 60.0, 90.0, 90.0)


def bendable_job(seed: int, fewest: int = 4, most: int = 8) -> Job:
    """A job of so many bends that no finding stops, held at either end."""
    rng = Random(f"bendable {seed}")
    while True:
        job = _any_job(rng, rng.randint(fewest, most), f"seed {seed}")
        found = find_all(job, lay_out(job, LAW), LAW)
        if not any(finding.level == "stop" for finding in found):
            return job


def _any_job(rng: Random, bends: int, name: str) -> Job:
    angles = [rng.choice((rng.choice(ANGLES_DEG), rng.uniform(15, 120))) for _ in range(bends)]
    backs = [0.0, *(1.05 * RADIUS_MM * tan(radians(a) / 2) for a in angles), 0.0]
    rooms = [30.0, *(10.0 for _ in angles[1:]), 30.0]
    legs = [
        before + after + room + rng.uniform(5, 120)
        for (before, after), room in zip(pairwise(backs), rooms, strict=True)
    ]
    turns = (rng.uniform(-180, 180), 0.0, 90.0, -90.0, 180.0)
    segments = tuple(
        Segment(leg, angle, rng.choice(turns) if place else 0.0)
        for place, (leg, angle) in enumerate(zip(legs, angles, strict=False))
    )
    job = Job(name, TUBE, STEEL, BENDER, Run(segments, legs[-1]))
    return replace(job, held=rng.choice(("reference", "reference", "far")))
