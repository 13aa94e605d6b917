"""What stands about a die, as profiles and jobs write it."""

from pathlib import Path

import pytest

from benchcalc.core.geometry.envelope import Block, Capsule, Envelope, Plane
from benchcalc.files.loading import load_shop
from benchcalc.jobfile.job import parse_job
from benchcalc.jobfile.problems import BadFile

SHOP = load_shop(None)
PROFILE = """\
bench-own:
  od: 10 mm
  radius: 25 mm
  max_angle: 180 deg
  lines: {start: 0 mm}
  source: measured on our bench
  envelope:
    die: {from: [0 mm, 25 mm, -8 mm], to: [0 mm, 25 mm, 8 mm], radius: 20 mm}
    long handle: {from: [-1 in, -20 mm, 0 mm], to: [-10 in, -40 mm, 0 mm], radius: 1/2 in}
    vice: {low: [-90 mm, 40 mm, -60 mm], high: [-20 mm, 90 mm, -15 mm]}
    bench: {faces: [0, 0, 1], at: -60 mm}
"""
JOB = """\
benchcalc: 1
name: sampling rack, line 3
units: in
tube: {od: 0.5, wall: 0.049, material: 304}
bender:
  {od: 0.5, radius: 1.5, max_angle: 190, lines: {start: 0},
   envelope: {wall: {faces: [0, -1, 0], at: -4}}}
run: [{leg: 5, bend: 90}, {leg: 6}]
"""
DIE = "die: {from: [0 mm, 25 mm, -8 mm], to: [0 mm, 25 mm, 8 mm], radius: 20 mm}"
VICE = "vice: {low: [-90 mm, 40 mm, -60 mm], high: [-20 mm, 90 mm, -15 mm]}"
BENCH = "bench: {faces: [0, 0, 1], at: -60 mm}"


def test_a_profile(tmp_path: Path) -> None:
    (tmp_path / "benders.yaml").write_text(PROFILE)
    bender = load_shop(tmp_path).bender("bench-own")
    assert bender is not None
    assert bender.envelope == Envelope(
        (
            Capsule("die", (0, 25, -8), (0, 25, 8), 20),
            Capsule("long handle", (-25.4, -20, 0), (-254, -40, 0), 12.7),
        ),
        (Block("vice", (-90, 40, -60), (-20, 90, -15)),),
        (Plane("bench", (0, 0, 1), -60),),
    )


def test_a_job_writes_it_in_its_own_units() -> None:
    job = parse_job(JOB.encode(), "job.yaml", SHOP)
    assert job.bender.envelope == Envelope(planes=(Plane("wall", (0, -1, 0), -101.6),))


def test_none_is_none() -> None:
    assert all(bender.envelope == Envelope() for bender in SHOP.benders)


@pytest.mark.parametrize(
    ("old", "new", "line", "words"),
    [
        (DIE, DIE.replace("20 mm", "20"), 8, "no unit"),
        (DIE, DIE.replace("20 mm", "0 mm"), 8, "over 0 mm"),
        (DIE, DIE.replace(", radius: 20 mm", ""), 8, "die radius: missing"),
        (DIE, DIE.replace("from: [0 mm, 25 mm, -8 mm], ", ""), 8, "die from: missing"),
        (DIE, DIE.replace("-8 mm]", "-8 mm, 1 mm]"), 8, "a list of up to 3"),
        (DIE, DIE.replace("25 mm, -8 mm", "-8 mm"), 8, "three, x, y and z"),
        (DIE, DIE.replace("radius: 20", "low: 3 mm, radius: 20"), 8, "no such key here"),
        (VICE, VICE.replace("high: [-20", "high: [-95"), 10, "-90 mm in x: under high, -95 mm"),
        (VICE, VICE.replace("vice", "2nd vice"), 10, "a letter first"),
        (VICE, VICE.replace("vice", "v" * 31), 10, "30 characters"),
        (VICE, VICE.replace("-90 mm", "NaN"), 10, "vice low: NaN"),
        (BENCH, BENCH.replace("0, 0, 1", "0, 0, 0"), 11, "a direction"),
        (BENCH, BENCH.replace("0, 0, 1", "0, 0, 1 mm"), 11, "bench faces: 1 mm"),
        (BENCH, BENCH.replace("-60 mm", "-60"), 11, "no unit"),
        (BENCH, "bench: {}", 11, "no shape"),
        (BENCH, "bench: 3 mm", 11, "a mapping"),
        (BENCH, "vice: {faces: [0, 0, 1], at: -60 mm}", 11, "already written on line 10"),
    ],
)
def test_refused_on_its_line_in_words(
    tmp_path: Path, old: str, new: str, line: int, words: str
) -> None:
    assert PROFILE.count(old) == 1
    (tmp_path / "benders.yaml").write_text(PROFILE.replace(old, new))
    with pytest.raises(BadFile) as caught:
        load_shop(tmp_path)
    assert any(p.line == line and words in str(p) for p in caught.value.problems), caught.value
