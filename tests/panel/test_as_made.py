"""Before a piece is stored the panel says what the piece is, from what was measured of it."""

import json
from math import dist
from pathlib import Path

import pytest

from benchcalc.cli import main
from benchcalc.core.shapes.point_list import parse_points
from benchcalc.core.shapes.points import rows_from_points
from benchcalc.runlog.records import upgraded
from tests.panel.driver import Hands

JOB = """benchcalc: 1
name: two
tube: {{od: {od}, wall: 1, material: "316"}}
bender: bench-{od}mm
run:
{run}"""


def bent_to(hands: Hands, *angles: str) -> Hands:
    """Every bend made at once, each kept as it came out; a correction is left where one comes."""
    left = list(angles)
    for _ in range(60):
        if hands.shown in ("store", "kept"):
            return hands
        if hands.shown == "check":
            hands.type(left.pop(0), "next")
            if hands.scene.target("take anyway"):
                hands.tap("take anyway")
        elif hands.shown in ("over", "pull") and hands.can("keep"):
            hands.tap("keep")
        else:
            hands.tap("answer leave" if hands.shown == "correct" else "next")
    raise AssertionError(hands.text)


def made(rows: list[tuple[str, ...]], last: str, *angles: str, bender: str = "10mm") -> Hands:
    hands = Hands().bench(f"bench-{bender}", "1", "316").tap("plan")
    for row in rows:
        hands.segment(*row)
    return bent_to(hands.type(last, "next").tap("make"), *angles)


def by_command(
    folder: Path, printed: pytest.CaptureFixture[str], run: str, *words: str, od: int = 10
) -> dict[str, object]:
    job = folder / "two.yaml"
    job.write_text(JOB.format(run=run, od=od), encoding="utf-8")
    main(["sheet", str(job), "--json", *words])
    told: dict[str, object] = json.loads(printed.readouterr().out)["as_made"]
    return told


def test_a_kept_bend_of_a_single_90_is_told_as_it_came_out(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    hands = made([("50", "90")], "50", "88", bender="6mm")
    assert hands.shown == "store" and "does not fit" in hands.text
    run = "  - {leg: 50, bend: 90}\n  - {leg: 50}\n"
    told = by_command(tmp_path, capsys, run, "--bent", "1=88", od=6)
    assert f"{told['end_to_end']:.1f} mm" in hands.text and "70.7 mm" not in hands.text


def test_the_panel_and_the_command_say_the_same_of_a_piece_that_does_not_fit(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    hands = made([("80", "60"), ("90", "90", "90")], "150", "60.1", "91.8")
    run = "  - {leg: 80, bend: 60}\n  - {leg: 90, bend: 90, turn: 90}\n  - {leg: 150}\n"
    told = by_command(tmp_path, capsys, run, "--bent", "1=60.1", "--bent", "2=91.8")
    assert f"{told['end_to_end']:.1f} mm" in hands.text
    assert "does not fit" in hands.text and told["fits"] is False
    points = told["points"]
    assert isinstance(points, list)
    hands.tap("points")
    for axis, value in zip("XYZ", points[-1], strict=True):
        assert f"{axis} {value:.1f}" in hands.text
    assert hands.tap("step").shown == "store"


def test_the_record_has_the_corner_points_as_made() -> None:
    hands = made([("80", "60"), ("90", "90", "90")], "150", "60.1", "91.8").tap("next")
    kept = hands.records[0]["as_made"]
    points = [(p["x_mm"], p["y_mm"], p["z_mm"]) for p in kept["points"]]
    assert [p["kind"] for p in kept["points"]] == ["end", "corner", "corner", "end"]
    assert kept["end_to_end_mm"] == pytest.approx(dist(points[0], points[-1]))
    run = rows_from_points(points).run
    assert [s.angle_deg for s in run.segments] == pytest.approx([60.1, 91.8])
    assert not kept["fits"] and kept["missed_mm"] > 2
    assert upgraded(hands.records[0])["as_made"] == kept
    assert "As made" in hands.tap("piece").text


def test_an_angle_that_no_bend_can_have_leaves_the_end_unknown() -> None:
    hands = made([("80", "60")], "150", "190")
    assert "cannot be said" in hands.text
    assert hands.tap("next").records[0]["as_made"] is None


def test_the_corner_points_can_be_taken_and_read_again(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    points, run = tmp_path / "p.csv", "  - {leg: 80, bend: 60}\n  - {leg: 150}\n"
    by_command(tmp_path, capsys, run, "--bent", "1=61.5", "--points", str(points))
    read = rows_from_points(parse_points(points.read_text(encoding="utf-8"), "mm").points).run
    assert read.segments[0].angle_deg == pytest.approx(61.5, abs=0.01)
    u = "  - {leg: 80, bend: 180}\n  - {leg: 150}\n"
    (tmp_path / "u.yaml").write_text(JOB.format(run=u, od=10), encoding="utf-8")
    assert main(["sheet", str(tmp_path / "u.yaml"), "--points", str(points)]) == 2
    assert "no corner" in capsys.readouterr().err
