"""The recording of the last bend: what the panel gave, its replay gives again."""

import json
from collections.abc import Callable, Iterator
from pathlib import Path
from random import Random
from typing import Any

import pytest

from benchcalc.cli import main
from benchcalc.files.loading import load_sensors
from benchcalc.panel.state.messages import BendSettled, ExpectBend, SayFree, SensorSaw, TakeZero
from benchcalc.sensor.profile import SensorProfile
from benchcalc.shell.port import Chunk, HandleSaid, Item, PortNews
from benchcalc.shell.recording import MOST_THINGS, LastBend, RecordingError, recorded
from benchcalc.shell.sensing import PanelSensor
from benchcalc.shell.simulated_bench import frame_of
from benchcalc.shell.sticks import Sticks
from tests.sensor.doubtful_bends import MUTATIONS, plain

LOOK_S = 0.013
PITCH = "nmea-pitch"
Judged = Callable[..., list[dict[str, Any]]]


class Wire:
    """A port that brings what it is given, cut where no line ends."""

    def __init__(self) -> None:
        self.due: list[Item] = []

    def start(self) -> None:
        """It is open."""

    def close(self) -> None:
        """It needs none."""

    def send(self, data: bytes) -> None:
        """Nobody listens."""

    def take(self) -> list[Item]:
        taken, self.due = self.due, []
        return taken


def profile_of(key: str) -> SensorProfile:
    return next(p for p in load_sensors(None) if p.key == key)


class Panel:
    """A panel's sensor on a clock that is turned by hand; ``said`` is what it settled."""

    def __init__(self, key: str = PITCH, began_s: float = 4321.0) -> None:
        self.wire, self.now_s = Wire(), began_s
        self.sensor = PanelSensor(profile_of(key), self.wire, began_s)  # type: ignore[arg-type]
        self.said: list[tuple[float, float]] = []
        self.state = ""
        self._rest = b""

    def hears(self, deg: float, at_s: float) -> None:
        """A line, whose last bytes come with the next."""
        frame = self._rest + frame_of(self.sensor.profile.speaks, deg)
        self._rest = frame[-3:]
        while self.now_s + LOOK_S < at_s:
            self.now_s += LOOK_S
            self.look()
        self.wire.due.append(Chunk(frame[:-3], at_s))

    def look(self) -> None:
        self._take(self.sensor.look(self.now_s))

    def does(self, command: TakeZero | ExpectBend | SayFree) -> None:
        self._take(self.sensor.carry_out(command, self.now_s))

    def _take(self, messages: Any) -> None:
        for message in messages:
            if isinstance(message, BendSettled):
                done = message.settled
                self.said.append((round(done.released_deg, 2), round(done.loaded_deg, 2)))
            if isinstance(message, SensorSaw):
                self.state = message.seen.state


@pytest.fixture
def judged(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Any) -> Judged:
    """What ``sensor --replay`` makes of a recording, line by line."""
    monkeypatch.setenv("BENCHCALC_CONFIG", str(tmp_path))

    def run(text: str, *words: str) -> list[dict[str, Any]]:
        path = tmp_path / "bend.jsonl"
        path.write_text(text)
        assert main(["sensor", "--replay", str(path), "--json", *words]) == 0
        return [json.loads(line) for line in capsys.readouterr().out.splitlines()]

    return run


def made(seed: str, key: str = PITCH) -> Panel:
    """A doubtful or plain bend heard by a panel; where it asks, the operator says it is free."""
    random = Random(seed)
    bend = random.choice((*MUTATIONS, plain))(random)
    panel, expected = Panel(key), bend.expectation
    command = ExpectBend(*expected, expected.target_deg + expected.release_deg)
    for i in range(30):
        panel.hears(0.0, panel.now_s + 0.1 * (i > 0))
    panel.look()
    panel.does(TakeZero())
    panel.does(command)
    began_s, asked = panel.now_s + 0.05, random.random() < 0.5
    for at_s, deg in bend.readings:
        panel.hears(deg, began_s + at_s)
        if panel.state == "asking" and asked:
            panel.does(SayFree())
            asked = False
        if panel.state == "under" and random.random() < 0.05:
            panel.does(command)
    panel.now_s += 0.2
    panel.look()
    return panel


@pytest.mark.parametrize("number", range(24))
def test_the_replay_gives_what_the_panel_gave(number: int, judged: Judged) -> None:
    panel = made(f"round {number}")
    lines = judged(panel.sensor.last_bend.text())
    given = [(line["came_out"], line["pulled_to"]) for line in lines if line["verdict"]]
    again = [one for i, one in enumerate(given) if i == 0 or one != given[i - 1]]
    assert again == [one for i, one in enumerate(panel.said) if i == 0 or one != panel.said[i - 1]]
    assert lines[-1]["state"] == panel.state


def test_what_is_asked_on_the_command_line_goes_before_what_was_expected(judged: Judged) -> None:
    panel = made("round 0")
    text = panel.sensor.last_bend.text()
    lines = judged(text, "--expect", "20", "--pull-to", "21", "--profile", PITCH)
    assert lines != judged(text) and lines[-1]["verdict"] != "good"


def test_the_next_bend_takes_the_place_of_the_last(judged: Judged) -> None:
    panel = made("round 1")
    first = panel.sensor.last_bend.text()
    panel.does(ExpectBend())
    assert panel.sensor.last_bend.text() == first
    panel.hears(5.0, panel.now_s + 1.0)
    panel.look()
    assert panel.sensor.last_bend.text() == first  # between bends nothing is added
    panel.does(TakeZero())
    panel.does(ExpectBend(30.0, 0.5, 1.0, 0.2, 31.0))
    assert '"target_deg": 30.0' in panel.sensor.last_bend.text()
    assert len(panel.sensor.last_bend.text()) < len(first)


def test_a_handle_s_switch_and_the_port_s_news_are_in_it(tmp_path: Path) -> None:
    panel = Panel()
    panel.does(ExpectBend(30.0, 0.5, 1.0, 0.2, 31.0))
    at_s = panel.now_s
    panel.wire.due += [HandleSaid(True, at_s), PortNews("lost", "port", "It was lost.", at_s)]
    panel.look()
    path = tmp_path / "bend.jsonl"
    path.write_text(panel.sensor.last_bend.text())
    kinds = [type(item) for item in recorded(path)]
    assert HandleSaid in kinds and PortNews in kinds


def test_it_is_bounded_and_says_where_it_ends() -> None:
    panel = Panel()
    panel.does(ExpectBend(30.0, 0.5, 1.0, 0.2, 31.0))
    for i in range(MOST_THINGS + 100):
        panel.sensor.last_bend.keep(Chunk(b"x", panel.now_s + i * 0.01))
    text = panel.sensor.last_bend.text()
    assert text.count("\n") <= MOST_THINGS + 2 and text.endswith('"event": "full"}\n')
    large = LastBend()
    large.begin(next(iter(_followed())), True)
    for i in range(200):
        large.keep(Chunk(bytes(4096), float(i)))
    assert len(large.text()) < 2 * 2 * 512 * 1024 and "full" in large.text()


def _followed() -> Iterator[Any]:
    from benchcalc.sensor.expectation import Expectation
    from benchcalc.shell.recording import Followed

    yield Followed(PITCH, 0.0, Expectation(30.0, 0.5, 1.0, 0.2), 0.0)


def test_it_is_written_to_a_stick_and_read_from_there(tmp_path: Path, judged: Judged) -> None:
    stick = tmp_path / "sticks" / "STICK"
    stick.mkdir(parents=True)
    sticks = Sticks((stick.parent,), any_folder=True)
    text = made("round 2").sensor.last_bend.text()
    assert sticks.places(0.0) == (stick,)
    for name in ("bend-2026-11-30-1.jsonl", "bend-2026-11-30-2.jsonl"):
        assert sticks.put(stick, "bend-2026-11-30", text).says.shown == f"On the stick: {name}"
        assert judged((stick / name).read_text()) == judged(text)


def test_a_stick_that_takes_nothing_is_said_and_keeps_nothing(tmp_path: Path) -> None:
    said = Sticks((tmp_path,)).put(tmp_path / "gone", "bend", "x").says.shown
    assert said.startswith("Not written: No such file") and not list(tmp_path.iterdir())


@pytest.mark.parametrize(
    "line",
    [
        '{"at_s": 1, "handle": "loose"}', '{"at_s": 1, "port": "eaten"}', '{"at_s": 1}', "[]",
        '{"at_s": 1, "event": "rain"}', '{"at_s": NaN, "event": "full"}', '{"at_s": 1, "hex": 7}',
        '{"at_s": 1, "profile": "x", "zero_deg": 0, "target_deg": 1e999, "tolerance_deg": 1, '
        '"release_deg": 1, "release_spread_deg": 1}',
    ],
)  # fmt: skip
def test_lines_that_are_none(line: str, tmp_path: Path) -> None:
    path = tmp_path / "bend.jsonl"
    path.write_text('{"benchcalc": "sensor bytes", "version": 1}\n' + line + "\n")
    with pytest.raises(RecordingError, match=r"bend.jsonl:2: no line of a recording"):
        list(recorded(path))


def test_what_had_no_room_is_said(tmp_path: Path, judged: Judged, capsys: Any) -> None:
    path = tmp_path / "full.jsonl"
    path.write_text(made("round 3").sensor.last_bend.text() + '{"at_s": 9.0, "event": "full"}\n')
    assert main(["sensor", "--replay", str(path)]) == 0
    assert "what came later is missing" in capsys.readouterr().err
