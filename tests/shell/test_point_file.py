"""A list of points pasted from a drawing, as a job."""

from pathlib import Path

import pytest

from benchcalc.core.job import Bender
from benchcalc.core.sheet import work_out
from benchcalc.files.loading import load_points_job, load_shop
from benchcalc.jobfile.points import parse_tube
from benchcalc.jobfile.problems import BadFile, BadValue

SHOP = load_shop(None)
LIST = "X, Y, Z\n0, 0, 0\n60, 0, 0\n\n120, 0, 0\n120, 90, 0\n120, 90, 150\n"


def bender() -> Bender:
    found = SHOP.bender("bench-8mm")
    assert found is not None
    return found


def test_a_list_of_points_is_a_job(tmp_path: Path) -> None:
    path = tmp_path / "cooler.csv"
    path.write_text(LIST)
    job = load_points_job(path, parse_tube("8x1 316", "mm", SHOP), bender(), "mm")
    assert (job.name, len(job.run.segments)) == ("cooler", 2)
    found = work_out(job)
    assert not found.stopped and found.drawing and found.drawing.in_line == (2,)


@pytest.mark.parametrize(
    ("data", "line", "words"),
    [
        (LIST.replace("120, 90, 0", "120, 9o, 0").encode(), 6, "Y: 9o"),
        (LIST.replace("120, 90, 0\n", "120, 0, 0\n").encode(), 6, "on point 3"),
        (b"0 0 0\n\xff", 1, "save the file as UTF-8"),
        (b"", 1, "none"),
    ],
)
def test_a_bad_list_is_refused_on_its_line(
    tmp_path: Path, data: bytes, line: int, words: str
) -> None:
    path = tmp_path / "p.csv"
    path.write_bytes(data)
    with pytest.raises(BadFile) as caught:
        load_points_job(path, parse_tube("8x1 316", "mm", SHOP), bender(), "mm")
    (said,) = map(str, caught.value.problems)
    assert f"p.csv:{line}: " in said and words in said


def test_a_tube_in_words() -> None:
    tube, material = parse_tube("1/4 in x 0.035 in 316", "mm", SHOP)
    assert (tube.od_mm, tube.material) == (6.35, "316")
    assert tube.wall_mm == pytest.approx(0.889)
    assert material.key == "316"
    assert parse_tube("1/4x0.035 316", "in", SHOP)[0] == tube


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("8 1 316", "outside diameter x wall"),
        ("8x1", "outside diameter x wall"),
        ("8x4 316", "under half of 8 mm"),
        ("8,0x1 316", "a comma"),
        ("8x1 361", "no such material: 361: did you mean 316"),
    ],
)
def test_a_tube_that_is_none(text: str, words: str) -> None:
    with pytest.raises(BadValue, match=words):
        parse_tube(text, "mm", SHOP)
