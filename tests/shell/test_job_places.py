"""Shapes, points and ports in a job file: read exactly, or refused on their line."""

from dataclasses import replace
from math import dist, radians, sqrt, tan

import pytest

from benchcalc.core.job import Job
from benchcalc.core.layout.path import corner_points
from benchcalc.core.shapes.drawing import DrawnJob, drawn_again
from benchcalc.core.sheet import Sheet, work_out
from benchcalc.core.springback.first_guess import Springback
from benchcalc.files.loading import load_shop
from benchcalc.jobfile.job import parse_job
from benchcalc.jobfile.problems import BadFile

SHOP = load_shop(None)
HEAD = """\
benchcalc: 1
name: sampling rack, line 4
tube: {od: 10, wall: 1, material: 304}
bender: bench-10mm
"""


def load(body: str) -> Job:
    return parse_job((HEAD + body).encode(), "job.yaml", SHOP)


def sheet(body: str) -> Sheet:
    return work_out(load(body))


def says(body: str) -> list[str]:
    with pytest.raises(BadFile) as caught:
        load(body)
    return [str(problem) for problem in caught.value.problems]


def run(*items: str) -> str:
    return "run:\n" + "".join(f"  - {item}\n" for item in items)


@pytest.mark.parametrize(
    ("shape", "height"),
    [
        ("{offset: {leg: 150, height: 60, angle: 45}}", 60.0),
        ("{rolling_offset: {leg: 150, rise: 36, roll: 48, angle: 45}}", 60.0),
        ("{saddle: {centre: 250, height: 50, angle: 60}}", 0.0),
        ("{saddle: {centre: 300, height: 50, angle: 45, flat: 40, turn: 90}}", 0.0),
    ],
)
def test_a_shape_goes_on_parallel(shape: str, height: float) -> None:
    path = sheet(run(shape, "{leg: 160}")).path
    assert path.end_direction == pytest.approx((1.0, 0.0, 0.0), abs=1e-12)
    assert dist(path.end_point[1:], (0.0, 0.0)) == pytest.approx(height, abs=1e-9)


def test_a_shape_among_legs_and_bends() -> None:
    """The turn after the offset is counted from the bend before it."""
    body = run("{leg: 120, bend: 90}", "{offset: {leg: 90, height: 40, angle: 30, turn: 90}}",
               "{leg: 130, bend: 45, turn: 0}", "{leg: 150}")  # fmt: skip
    found = load(body).run.segments
    assert [s.angle_deg for s in found] == [90.0, 30.0, 30.0, 45.0]
    assert [s.turn_deg for s in found] == [0.0, 90.0, 180.0, 90.0]
    assert found[2].leg_mm == pytest.approx(80.0)


def test_shapes_take_units_and_included_angles() -> None:
    body = "units: in\nangles: included\n" + run(
        "{offset: {leg: 5, height: 2 1/4, angle: 135}}", "{leg: 150 mm}"
    )
    first, second = load(body).run.segments
    assert (first.leg_mm, first.angle_deg) == (127.0, 45.0)
    assert second.leg_mm == pytest.approx(57.15 * sqrt(2))


def test_a_u_keeps_the_width_that_was_asked() -> None:
    job = load(run("{leg: 120, bend: 90}", "{u: {leg: 150, width: 55}}", "{leg: 200}"))
    assert isinstance(job, DrawnJob) and job.u_widths == ((2, 55.0),)
    assert load(run("{u: {leg: 150, width: 120}}", "{leg: 200}")).run.segments[1].leg_mm == 120.0


def test_points_are_corners_however_legs_are_measured() -> None:
    points = [(0.0, 0.0, 0.0), (120.0, 0.0, 0.0), (120.0, 90.0, 0.0), (120.0, 90.0, 150.0)]
    body = "points: [[0, 0, 0], [60, 0, 0], [120, 0, 0], [120, 90, 0], [120, 90, 15 cm]]\n"
    assert "did you mean" not in says(body)[0]
    body = body.replace("15 cm", "150 mm")
    for how in ("centre", "outside"):
        found = sheet(f"measured: {how}\n" + body)
        assert found.drawing is not None and found.drawing.in_line == (2,)
        corners = corner_points(found.layout, found.path)
        assert [dist(a, b) for a, b in zip(corners, points, strict=True)] == pytest.approx(
            [0.0] * 4, abs=1e-9
        )


PORTS = """\
ports:
  start: {at: [0, 0, 0], along: [1, 0, 0]}
  finish: {at: [300, 180, 120], along: [0, 0, 1]}
"""


def test_ports_take_the_best_way_or_the_one_asked() -> None:
    ways = [load(PORTS + f"  take: {take}\n").run for take in (1, 2)]
    assert load(PORTS).run == ways[0] != ways[1]
    for way in ways:
        found = work_out(replace(load(PORTS), run=way))
        assert dist(found.path.end_point, (0, 0, 0)) == pytest.approx(
            dist((300, 180, 120), (0, 0, 0)), abs=1e-6
        )
        assert not found.stopped


def test_a_run_ends_at_a_port() -> None:
    body = run("{leg: 120, bend: 90}", "{port: {at: [300, 320, 140], along: [0, 0, 1]}}")
    found = sheet(body)
    assert found.path.end_point == pytest.approx((300.0, 320.0, 140.0), abs=1e-6)
    assert found.path.end_direction == pytest.approx((0.0, 0.0, 1.0), abs=1e-9)
    assert found.job.run.segments[0].leg_mm == 120.0


BAD = [
    (run("{offset: {height: 60, angle: 45}}", "{leg: 160}"), 6, "run 1 offset leg: missing"),
    (run("{offset: {leg: 90, height: 0, angle: 45}}", "{leg: 160}"), 6, "height: 0: over 0"),
    (run("{offset: {leg: 90, height: 9, angle: 91}}", "{leg: 160}"), 6, "over 0 to 90 deg"),
    (run("{offset: 45}", "{leg: 160}"), 6, "a mapping"),
    (run("{offset: {leg: 90, height: 9, angle: 30}, bend: 9}", "{leg: 160}"), 6, "no such key"),
    (run("{saddle: {centre: 90, height: 9, angle: 180}}", "{leg: 160}"), 6, "to under 180 deg"),
    (run("{saddle: {centre: 9, height: 9, angle: 99, flat: 9}}", "{leg: 160}"), 6, "to 90 deg"),
    (run("{rolling_offset: {leg: 9, rise: 0, roll: 0, angle: 9}}", "{leg: 160}"), 6, "write one"),
    (run("{leg: 120, bend: 90}", "{u: {leg: 90, width: 90}}"), 7, "the last item is a leg alone"),
    (run("{port: {at: [1, 2, 3]}}", "{leg: 160}"), 6, "no such key"),
    (run("{leg: 120, bend: 90}", "{port: {at: [1, 2], along: [1, 0, 0]}}"), 7, "three numbers"),
    ("points: [[0, 0, 0], [1, 0, 0]]\n", 5, "2 points: 3 to 202"),
    ("points: [[0, 0, 0], [50, 0], [50, 9, 0]]\n", 5, "points 2: something else"),
    ("points:\n  - [0, 0, 0]\n  - [50, 0, x]\n  - [50, 9, 0]\n", 7, "points 2 z: x"),
    ("points:\n  - [0, 0, 0]\n  - [50, 0, 0]\n  - [20, 0, 0]\n  - [20, 9, 0]\n", 7, "doubles back"),
    ("points:\n  - [0, 0, 0]\n  - [0, 0, 0]\n  - [20, 0, 0]\n", 7, "on point 1"),
    ("points: [[0, 0, 0], [1, 0, 0], [2, 0, 0]]\n", 5, "all in one line"),
    ("points: [[0, 0, 0], [9, 0, 0], [9, 9, 0]]\n" + run("{leg: 5}"), 5, "keep one of the two"),
    (PORTS.replace("along: [1, 0, 0]", "along: [0, 0, 0]"), 6, "a direction"),
    (PORTS.replace("  finish", "  end"), 6, "ports finish: missing"),
    (PORTS + "  take: 5\n", 8, "a whole number from 1 to 4"),
    ("stock: 9\n", 1, "run: missing"),
]  # fmt: skip


@pytest.mark.parametrize(("body", "line", "words"), BAD)
def test_what_draws_no_run_is_refused_on_its_line(body: str, line: int, words: str) -> None:
    found = says(body)
    assert any(s.startswith(f"job.yaml:{line}: ") and words in s for s in found), found
    assert all(sentence.count(": ") >= 4 and sentence.isprintable() for sentence in found)


def test_ports_that_this_bender_cannot_join() -> None:
    """A die that stops at 20 degrees makes no square way round."""
    own = "bender: {od: 10, radius: 25, max_angle: 20, lines: {start: 0}}"
    with pytest.raises(BadFile, match="no way found: move a port, or write the run yourself"):
        parse_job((HEAD.replace("bender: bench-10mm", own) + PORTS).encode(), "x", SHOP)


def test_too_many_bends_in_shapes() -> None:
    shapes = ["{saddle: {centre: 250, height: 50, angle: 60}}"] * 70
    assert "210 bends: at most 200" in says(run(*shapes, "{leg: 160}"))[0]


def test_a_parallel_tube_lies_beside_the_run_that_is_drawn() -> None:
    """Outside it its legs grow by the spacing x tan(angle/2), inside they shrink; on top none."""
    drawn = run("{leg: 150, bend: 90}", "{leg: 160, bend: 45, turn: 180}", "{leg: 140}")
    out, within, top = (
        load(f"parallel: {{spacing: 30, side: {s}}}\n" + drawn) for s in (180, 0, 90)
    )
    eighth = 30 * tan(radians(22.5))
    assert [s.leg_mm for s in out.run.segments] == pytest.approx([180.0, 190.0 - eighth])
    assert [s.leg_mm for s in within.run.segments] == pytest.approx([120.0, 130.0 + eighth])
    assert top.run == load(drawn).run
    assert load("parallel: {spacing: 30}\n" + drawn).run == out.run


def test_a_parallel_tube_that_cannot_be_is_refused() -> None:
    drawn = run("{leg: 150, bend: 90}", "{leg: 160, bend: 180}", "{leg: 190}")
    assert says("parallel: {spacing: 30}\n" + drawn) == [
        "job.yaml:5: parallel: side by side: no U in its plane, and bend 2 is one: lay it on top "
        "of the U (side: 90), or write its own run"
    ]
    assert len(says("parallel: {side: 400}\n" + drawn)) == 2
    assert load("parallel: {spacing: 30, side: 90}\n" + drawn).run == load(drawn).run


LEARNT = Springback(2.0, 0.05, 0.01, 1e-4, source="measured")


def test_with_what_a_bench_has_learnt_a_saddle_is_worked_out_again() -> None:
    """Its radii open more: as first guessed its crown would stand too low."""
    job = load(run("{saddle: {centre: 260, height: 45, angle: 60}}", "{leg: 240}"))

    def crown_mm(drawn: Job) -> float:
        middle = work_out(drawn, LEARNT).path.pieces[3]
        return middle.at(middle.length_mm / 2)[0][1]

    assert crown_mm(drawn_again(job, LEARNT)) == pytest.approx(45.0, abs=1e-9)
    assert crown_mm(job) < 44.9


def test_with_what_a_bench_has_learnt_a_port_is_looked_for_again() -> None:
    job = load(run("{leg: 120, bend: 90}", "{port: {at: [300, 320, 140], along: [0, 0, 1]}}"))
    found = work_out(drawn_again(job, LEARNT), LEARNT)
    assert found.path.end_point == pytest.approx((300.0, 320.0, 140.0), abs=1e-6)
    assert not found.stopped
