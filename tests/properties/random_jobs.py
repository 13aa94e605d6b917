"""Jobs at random: any run a bench could be handed, and some it never would. Legs are centre legs.

Every job comes from its seed alone, so a failing test names it by that number.
"""

from dataclasses import replace
from itertools import pairwise
from math import radians, tan
from random import Random

from benchcalc.core.job import Bender, Ends, Job, Line, Material, Run, Segment, Tube
from benchcalc.core.springback.first_guess import Springback

COMMON_DEG = (10.0, 15.0, 22.5, 30.0, 45.0, 60.0, 90.0, 90.0, 120.0, 135.0, 150.0, 180.0)
COMMON_TURNS_DEG = (0.0, 0.0, 90.0, -90.0, 180.0, -180.0, 45.0, 270.0, 360.0, -360.0)
MM_SIZES = ((6.0, 1.0), (8.0, 1.0), (10.0, 1.0), (12.0, 1.5), (16.0, 2.0))
IN_SIZES = ((0.125, 0.028), (0.25, 0.035), (0.375, 0.035), (0.5, 0.049))
STEEL = Material("steel", (600.0,), (0.21,), 200000.0, 0.3)


def random_job(seed: int, most_bends: int = 12) -> Job:
    """A job with 1 to ``most_bends`` bends and no straight under zero at nominal radii."""
    rng = Random(seed)
    inches = rng.random() < 0.5
    od, wall = rng.choice(IN_SIZES if inches else MM_SIZES)
    scale = 25.4 if inches else 1.0
    bender = random_bender(rng, od * scale)
    segments = tuple(random_segment(rng) for _ in range(rng.randint(1, most_bends)))
    run = _with_legs(rng, segments, bender.finished_radius_mm or bender.radius_mm)
    order = list(range(1, len(segments) + 1))
    if rng.random() < 0.6:
        rng.shuffle(order)
    return Job(
        name=f"seed {seed}",
        tube=Tube(od * scale, wall * scale, "steel"),
        material=STEEL,
        bender=bender,
        run=run,
        units="in" if inches else "mm",
        ends=Ends(rng.choice((0.0, rng.uniform(-15, 40))), rng.choice((0.0, rng.uniform(-15, 40)))),
        held=rng.choice(("reference", "far")),
        order=tuple(order) if rng.random() < 0.8 or order != sorted(order) else (),
    )


def random_bender(rng: Random, od_mm: float) -> Bender:
    """A die of 1.5 to 4 diameters with lines at, or a little beside, where a corner would ask."""
    radius = od_mm * rng.uniform(1.5, 4)
    angles = rng.sample((22.5, 30.0, 45.0, 60.0, 90.0, 120.0, 135.0), rng.randint(0, 4))
    error = rng.choice((0.0, rng.uniform(-0.5, 0.5)))
    lines = [Line(f"{a:g}", radius * tan(radians(a) / 2) + error, a) for a in angles]
    lines.insert(rng.randint(0, len(lines)), Line("start", 0.0))
    measured = radius * rng.uniform(1.0, 1.04) if rng.random() < 0.4 else None
    return Bender("bench", od_mm, radius, 185.0, tuple(lines), measured)


def random_segment(rng: Random) -> Segment:
    """A bend of 1 to 180 degrees to its corner or crown; its leg is still to be chosen."""
    angle = rng.choice((rng.choice(COMMON_DEG), rng.uniform(1, 180)))
    turn = rng.choice((rng.choice(COMMON_TURNS_DEG), rng.uniform(-360, 360)))
    to = None
    if angle >= 90 and rng.random() < 0.5:
        to = "crown" if angle > 170 or rng.random() < 0.5 else "corner"
    held = rng.choice((None, None, "reference", "far"))
    return Segment(0.0, angle, turn, to, None, held)  # type: ignore[arg-type]


def random_springback(seed: int) -> Springback:
    """Half a degree under nothing up to 1.5 degrees and 6 % of the angle."""
    rng = Random(f"springback {seed}")
    return Springback(rng.uniform(-0.3, 1.5), rng.uniform(0.0, 0.06), 0.25, 1e-4)


def _with_legs(rng: Random, segments: tuple[Segment, ...], radius_mm: float) -> Run:
    """Legs with room for both their bends; how much is the generator's choice, no reference."""
    rooms = [0.0]
    for s in segments:
        widest = radius_mm * (s.angle_deg + 1.6) / 0.94 / s.angle_deg
        rooms.append(widest if s.crown else widest * tan(radians(s.angle_deg) / 2))
    rooms.append(0.0)
    legs = [
        before + after + rng.choice((rng.uniform(1, 12), rng.uniform(1, 250)))
        for before, after in pairwise(rooms)
    ]
    legs[0] += 16
    legs[-1] += 16
    made = tuple(replace(s, leg_mm=leg) for s, leg in zip(segments, legs, strict=False))
    return Run(made, legs[-1])
