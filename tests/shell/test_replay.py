"""``benchcalc sensor --replay FILE --expect …``: recordings that lie, and what they come to."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from benchcalc.cli import main
from benchcalc.sensor.nmea import NmeaXdr
from benchcalc.shell.recording import HEAD
from benchcalc.shell.simulated_bench import frame_of

HZ = 10
Replayed = Callable[..., list[dict[str, Any]]]


def hold(deg: float, seconds: float) -> list[float]:
    return [deg] * round(seconds * HZ)


def to(start_deg: float, deg: float, seconds: float) -> list[float]:
    steps = round(seconds * HZ)
    return [start_deg + (deg - start_deg) * (i + 1) / steps for i in range(steps)]


SEATED, UP = hold(0, 1), to(0, 91.9, 4)
LET_GO = to(90, 88.1, 0.3) + hold(88.1, 3)


@pytest.fixture
def replayed(monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: Any) -> Replayed:
    """The lines that come of angles ten times a second, as a sensor named PITCH says them."""
    monkeypatch.setenv("BENCHCALC_CONFIG", str(tmp_path))

    def run(angles: list[float], *words: str) -> list[dict[str, Any]]:
        path = tmp_path / "recording.jsonl"
        frames = [frame_of(NmeaXdr("PITCH"), round(deg, 1)) for deg in angles]
        rows = [{"at_s": i / HZ, "hex": frame.hex()} for i, frame in enumerate(frames)]
        path.write_text("".join(json.dumps(row) + "\n" for row in (HEAD, *rows)))
        given = ["sensor", "--replay", str(path), "--profile", "nmea-pitch", *words]
        assert main([*given, "--expect", "90", "--pull-to", "91.9", "--json"]) == 0
        return [json.loads(line) for line in capsys.readouterr().out.splitlines()]

    return run


def test_a_bend_that_was_made_is_good(replayed: Replayed) -> None:
    last = replayed(SEATED + UP + hold(91.9, 2) + to(91.9, 90, 0.3) + hold(90, 3))[-1]
    assert set(last) == {"at_s", "state", "verdict", "came_out", "pulled_to"}
    assert (last["state"], last["verdict"]) == ("good", "good")
    assert last["came_out"] == pytest.approx(90.0, abs=0.05)
    assert last["pulled_to"] == pytest.approx(91.9, abs=0.1)


LYING: dict[str, tuple[list[float], set[str | None]]] = {
    "one reading above a hold, then let go": (
        SEATED + to(0, 90, 4) + hold(90, 2) + [91.9] + hold(90, 3) + LET_GO, {"under"},
    ),
    "one reading above a hold": (
        SEATED + to(0, 90, 4) + hold(90, 2) + [91.9] + hold(90, 3), {None},
    ),
    "out of nothing": ([*SEATED, 91.9, *hold(90, 4)], {None}),
    "a drift up and down": (SEATED + to(0, 91.9, 60) + to(91.9, 90, 10) + hold(90, 4), {None}),
    "a sensor that slips": (SEATED + UP + hold(91.9, 2) + hold(90, 4) + LET_GO, {"under"}),
}  # fmt: skip


@pytest.mark.parametrize("name", LYING)
def test_what_was_seen_to_be_falsely_good_is_so_no_more(name: str, replayed: Replayed) -> None:
    angles, verdicts = LYING[name]
    assert replayed(angles)[-1]["verdict"] in verdicts


def test_a_sensor_that_stands_askew_begins_at_its_own_zero(replayed: Replayed) -> None:
    angles = SEATED + UP + hold(91.9, 2) + to(91.9, 90, 0.3) + hold(90, 3)
    last = replayed([deg + 7 for deg in angles])[-1]
    assert last["came_out"] == pytest.approx(90.0, abs=0.05)
    assert replayed([deg + 7 for deg in angles], "--zero", "0")[-1]["verdict"] == "over"


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--expect", "90"], "give both"),
        (["--expect", "90", "--pull-to", "90"], "more than --expect 90"),
        (["--expect", "x", "--pull-to", "90"], "x is no angle up to 200"),
        (["--expect", "nan", "--pull-to", "90"], "nan is no angle"),
    ],
)
def test_bad_angles(words: list[str], says: str, tmp_path: Path, capsys: Any) -> None:
    given = ["sensor", "--replay", str(tmp_path / "none"), "--profile", "nmea-pitch", *words]
    try:
        code = main(given)
    except SystemExit as ended:
        code = int(ended.code or 0)
    assert code == 2 and says in capsys.readouterr().err


def test_what_the_sensor_cannot_read_is_set_aside_and_said(tmp_path: Path, capsys: Any) -> None:
    path = tmp_path / "recording.jsonl"
    rows = [{"at_s": i / HZ, "hex": b"angle 0800.0\r\n".hex()} for i in range(20)]
    path.write_text("".join(json.dumps(row) + "\n" for row in (HEAD, *rows)))
    given = ["sensor", "--replay", str(path), "--profile", "lines-prefix"]
    assert main([*given, "--expect", "90", "--pull-to", "91.9"]) == 0
    told = capsys.readouterr()
    assert told.out == "" and "the sensor cannot read so much" in told.err
