"""A job written and read again is the same job."""

from dataclasses import replace
from typing import Any, get_args

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from benchcalc.core.job import (
    Angles,
    Bender,
    End,
    Ends,
    Fit,
    Hardness,
    Job,
    Line,
    Measured,
    Pressure,
    Run,
    Scale,
    Segment,
    SlipOn,
    To,
    Tube,
    Units,
    WallRange,
)
from benchcalc.core.shapes.drawing import DrawnJob
from benchcalc.files.loading import asset_path, load_job, load_shop
from benchcalc.jobfile.job import inline_key, parse_job
from benchcalc.jobfile.profiles import INLINE
from benchcalc.jobfile.writer import format_job

SHOP = load_shop(None)
DEMO = load_job(asset_path("demo.yaml"), SHOP)


def words(least: int) -> st.SearchStrategy[str]:
    """One line of text that says something, or nothing when ``least`` is 0."""
    said = st.text(
        st.characters(categories=["L", "N", "P", "S", "Zs"]), min_size=1, max_size=40
    ).filter(str.strip)
    return said if least else st.one_of(st.just(""), said)


def numbers(least: float, most: float, **kwargs: Any) -> st.SearchStrategy[float]:
    """Floats, and those that people write: tenths, and 64ths of an inch in millimetres."""
    some = st.floats(least, most, **kwargs)
    tenths = some.map(lambda v: round(v, 1)).filter(lambda v: least <= v <= most and v != 0)
    inches = some.map(lambda v: round(v / 25.4 * 64) / 64 * 25.4)
    return st.one_of(some, tenths, inches.filter(lambda v: least <= v <= most and v != 0))


LENGTHS = numbers(1e-6, 999_999)
ROOMS = st.one_of(st.just(0.0), numbers(1e-6, 1000))
PLUS_MINUS = st.one_of(st.just(0.0), LENGTHS, LENGTHS.map(lambda v: -v))
MEASURED = st.sampled_from([None, *get_args(Measured)])
SHARES = st.floats(1e-6, 1)
HARDNESS = st.builds(Hardness, numbers(1e-3, 2000), st.sampled_from(["HRB", "HV", "HB"]))


@st.composite
def segments(draw: st.DrawFn) -> Segment:
    angle_deg = draw(numbers(0.001, 180))
    allowed: list[To | None] = [None]
    allowed += ["crown"] if angle_deg >= 90 else []
    allowed += ["corner"] if angle_deg < 180 else []
    turn_deg = draw(st.one_of(st.just(0.0), numbers(0.001, 360), numbers(-360, -0.001)))
    to, held = draw(st.sampled_from(allowed)), draw(st.sampled_from([None, *get_args(End)]))
    return Segment(draw(LENGTHS), angle_deg, turn_deg, to, draw(MEASURED), held)


@st.composite
def own_benders(draw: st.DrawFn) -> Bender:
    od_mm = draw(numbers(1, 100))
    most_deg = draw(numbers(1, 270))
    offset = st.one_of(st.just(0.0), LENGTHS)
    lines = [Line("start", draw(offset))]
    for angle in draw(st.sets(st.integers(1, 180), max_size=3)):
        lines.append(Line(str(angle), draw(offset), float(angle)))
    walls = []
    for key in draw(st.sets(st.sampled_from(["304", "any", "copper"]))):
        least, most = sorted((draw(numbers(0.001, od_mm / 2.1)), draw(numbers(0.001, od_mm / 2.1))))
        walls.append(WallRange(key, least, most))
    bender = Bender(
        INLINE, od_mm, draw(numbers(od_mm, 500)), most_deg, tuple(lines),
        draw(st.one_of(st.none(), numbers(od_mm, 500))), tuple(walls),
        draw(ROOMS), draw(ROOMS), draw(ROOMS),
        Scale(draw(numbers(0.001, 15)), draw(numbers(-45, -0.001))),
        draw(st.one_of(st.none(), numbers(0.001, most_deg * 0.99))), draw(words(0)),
        clamp=draw(st.sampled_from(["", "latch", "Klemme", "no"])),
    )  # fmt: skip
    return replace(bender, key=inline_key(bender))


@st.composite
def jobs(draw: st.DrawFn) -> Job:
    od_mm = draw(numbers(1, 100))
    material = draw(st.sampled_from(SHOP.materials))
    hardness = draw(st.one_of(st.none(), HARDNESS))
    under = draw(st.one_of(st.none(), st.floats(1e-6, 0.5)))
    wall_mm = draw(numbers(0.001, od_mm / 2.1))
    tube = Tube(od_mm, wall_mm, material.key, draw(words(0)), hardness, under)
    bends = tuple(draw(st.lists(segments(), min_size=1, max_size=5)))
    stress = numbers(1e-3, 9999)
    pressure = st.builds(Pressure, stress, stress, SHARES, SHARES, ROOMS)
    order = draw(st.one_of(st.just(()), st.permutations(range(1, len(bends) + 1)).map(tuple)))
    bender = draw(st.one_of(st.sampled_from(SHOP.benders), own_benders()))
    return Job(
        draw(words(1)), tube, material, bender,
        Run(bends, draw(LENGTHS), draw(MEASURED)), draw(words(0)), draw(words(0)), draw(words(0)),
        draw(st.integers(1, 9999)), draw(st.sampled_from(get_args(Units))),
        draw(st.sampled_from(get_args(Angles))), draw(st.sampled_from(get_args(Measured))),
        Ends(draw(PLUS_MINUS), draw(PLUS_MINUS)), Ends(draw(ROOMS), draw(ROOMS)),
        SlipOn(draw(words(0)), draw(words(0))), draw(st.sampled_from(get_args(End))), order,
        draw(numbers(0.001, 10)), Fit(draw(LENGTHS), draw(numbers(0.001, 180))),
        draw(st.one_of(st.none(), pressure)), draw(st.one_of(st.none(), LENGTHS)),
    )  # fmt: skip


@settings(max_examples=80, deadline=None)
@given(jobs())
@example(DEMO)
@example(replace(DEMO, name="no", note="~", operator='"a": {b}, [c] # d', drawing="0123"))
@example(replace(DEMO, units="in", tube=replace(DEMO.tube, od_mm=9.525, wall_mm=0.889)))
def test_read_again_it_is_the_same(job: Job) -> None:
    written = format_job(job)
    assert parse_job(written.encode(), "written", SHOP) == job, written


DRAWN = {
    "shapes": """run:
  - {offset: {leg: 120, height: 60, angle: 45}}
  - {rolling_offset: {leg: 110, rise: 40, roll: -30, angle: 30, turn: 90}}
  - {saddle: {centre: 260, height: 45, angle: 60}}
  - {saddle: {centre: 300, height: 50, angle: 45, flat: 60, turn: 180}}
  - {leg: 150, bend: 90, turn: 12.5, measured: outside}
  - {u: {leg: 160, width: 120}}
  - {leg: 140, measured: inside}
""",
    "a port": """run:
  - {leg: 120, bend: 90}
  - {port: {at: [300, 320, 140], along: [0, 0, 1], take: 2}}
""",
    "ports": """ports:
  start: {at: [0, 0, 0], along: [1, 0, 0]}
  finish: {at: [300, 180, 120], along: [0, 0.25, 1]}
  take: 3
""",
    "points": "points: [[0, 0, 0], [60, 0, 0], [120, 0, 0], [120, 90, 0], [120, 90, 150]]\n",
    "beside": """parallel: {spacing: 30, side: 90}
run:
  - {leg: 120, bend: 90}
  - {u: {leg: 160, width: 40}}
  - {leg: 180}
""",
}


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize("angles", ["bend", "included"])
@pytest.mark.parametrize("name", DRAWN)
def test_a_drawing_is_kept_as_it_was_drawn(name: str, units: Units, angles: Angles) -> None:
    """Shapes stay shapes, ports ports, points with those that lay in line."""
    head = "benchcalc: 1\nname: rack\ntube: {od: 10, wall: 1, material: 304}\nbender: bench-10mm\n"
    job = parse_job((head + DRAWN[name]).encode(), "given", SHOP)
    asked = replace(job, units=units, angles=angles)
    written = format_job(asked)
    again = parse_job(written.encode(), "written", SHOP)
    assert isinstance(job, DrawnJob) and again == asked, written
    assert next(iter(DRAWN[name].split(":"))) in written and isinstance(again, DrawnJob)


def test_it_is_written_as_a_person_would() -> None:
    inches = replace(DEMO, units="in", tube=replace(DEMO.tube, od_mm=9.525, wall_mm=0.889))
    lines = format_job(inches).splitlines()
    assert 'tube: {od: 0.375, wall: 0.035, material: "316", lot: "W2208", ' in "\n".join(lines)
    # 140 mm has no exact decimal in inches, so it keeps its own unit.
    assert '  - {leg: "140 mm", bend: 90, turn: 0}' in lines
