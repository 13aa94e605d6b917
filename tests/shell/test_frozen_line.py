"""A line that freezes, in each state of the table: what the panel shows is never taken for live."""

from dataclasses import replace
from typing import NamedTuple, get_args

import pytest

from benchcalc.panel.state.messages import ExpectBend, SensorSaw
from benchcalc.panel.state.model import Model, SensorSeen
from benchcalc.panel.update import update, view
from benchcalc.report.scene import Polygon, flatten, scene_text
from benchcalc.sensor.ascii_line import AsciiLine
from benchcalc.sensor.profile import Rides, SensorProfile
from benchcalc.sensor.settling import State
from benchcalc.shell.port import Chunk, Item, Kind, PortNews, SerialPort
from benchcalc.shell.sensing import SOUNDING, PanelSensor
from tests.panel.driver import Hands
from tests.panel.journeys import BENCH, RUN

HZ = 20
PROFILE = SensorProfile(
    "lines", AsciiLine(b"X="), zero_deg=0.0, resolution_deg=0.01, noise_deg=0.02, stale_s=0.5
)


class Way(NamedTuple):
    """How a state is come to: angles and the seconds to each of them, and what was expected."""

    legs: tuple[tuple[float, float], ...]
    rides: Rides = "tube"
    release_deg: float = 1.2


LOADED = ((0, 1.0), (40, 2.0), (46.2, 1.0))
WAYS: dict[State, Way] = {
    "waiting": Way(((0, 1.0),)),
    "pulling": Way(LOADED),
    "holding": Way((*LOADED, (46.2, 2.0))),
    "released": Way((*LOADED, (46.2, 1.0), (45, 0.2), (45, 0.6))),
    "asking": Way(((0, 1.0), (45, 2.0), (45, 2.0)), release_deg=0.03),
    "adrift": Way((*LOADED, (20, 0.5)), "arm"),
    "touching": Way((*LOADED, (46.2, 0.5), (20, 0.5), (45, 1.0), (45, 1.2)), "arm"),
    "good": Way((*LOADED, (46.2, 1.0), (45, 0.2), (45, 1.2))),
    "under": Way(((0, 1.0), (45.2, 2.0), (45.2, 1.0), (44, 0.2), (44, 1.2))),
    "doubted": Way((*LOADED, (46.2, 1.0), (45.4, 0.3), (45.4, 1.2), (44.6, 0.3))),
    "slipped": Way(((0, 1.0), (45, 0.05), (45, 1.0))),
    "over": Way(((0, 1.0), (48.2, 2.0), (48.2, 1.0), (47, 0.2), (47, 1.2))),
}


class Line(SerialPort):
    """A port whose bytes and times are given by hand; its thread never runs."""

    def __init__(self) -> None:
        super().__init__("/dev/none", PROFILE.line)
        self.coming: list[Item] = []

    def take(self) -> list[Item]:
        taken, self.coming = self.coming, []
        return taken


class Panel:
    """A panel on the step of pulling, and the sensor that tells it what to show."""

    def __init__(self, way: Way) -> None:
        self.line, self.at_s, self.deg = Line(), 0.0, 0.0
        profile = replace(PROFILE, rides=way.rides)
        self.sensor = PanelSensor(profile, self.line, 0.0)
        self.model: Model = Hands().tap(*BENCH, *RUN, "make", "next", "next", "next", "next").model
        spread_deg = way.release_deg / 6
        self.sensor.carry_out(ExpectBend(45.0, 0.5, way.release_deg, spread_deg, 46.2), 0.0)
        for deg, seconds in way.legs:
            self.to(deg, seconds)

    def to(self, deg: float, seconds: float) -> None:
        """Lines of readings from here to an angle, the last digit wavering."""
        steps, start_deg = round(seconds * HZ), self.deg
        for step in range(1, steps + 1):
            self.deg = start_deg + (deg - start_deg) * step / steps
            text = b"X=%.2f\r\n" % (self.deg + 0.01 * (step % 2))
            self.line.coming.append(Chunk(text, self.at_s + 1 / HZ))
            self.wait(1 / HZ)

    def wait(self, seconds: float) -> None:
        """Let time pass and show what the sensor tells."""
        self.at_s += seconds
        for message in self.sensor.look(self.at_s):
            if isinstance(message, SensorSaw):
                self.model, _ = update(self.model, message)

    @property
    def seen(self) -> SensorSeen:
        assert self.model.sensor is not None
        return self.model.sensor

    @property
    def text(self) -> str:
        return scene_text(view(self.model))

    @property
    def needle(self) -> bool:
        resting = view(replace(self.model, sensor=None))
        return _arrows(view(self.model).shapes) > _arrows(resting.shapes)


def _arrows(shapes: tuple[object, ...]) -> int:
    return sum(isinstance(shape, Polygon) for shape in flatten(shapes))  # type: ignore[arg-type]


@pytest.mark.parametrize("state", get_args(State))
def test_what_is_shown_of_a_frozen_line_is_said_to_be_old(state: State) -> None:
    panel = Panel(WAYS[state])
    assert panel.seen.state == state and not panel.seen.stale
    assert "Now " in panel.text and panel.needle
    assert (panel.sensor.tone_hz(panel.at_s) is not None) == (state in SOUNDING)
    frozen_deg = panel.seen.angle_deg
    panel.wait(PROFILE.stale_s - 0.01)
    assert "Now " in panel.text
    panel.wait(0.02)
    for _ in range(200):
        assert panel.seen.stale and panel.seen.angle_deg == frozen_deg
        assert "Now " not in panel.text and "no reading now" in panel.text
        assert not panel.needle and panel.sensor.tone_hz(panel.at_s) is None
        panel.wait(0.1)
    assert "said nothing for 2 s" in panel.text


@pytest.mark.parametrize("state", get_args(State))
def test_a_line_that_is_lost_is_old_at_once(state: State) -> None:
    panel = Panel(WAYS[state])
    panel.line.coming.append(PortNews("lost", "/dev/x", "/dev/x was unplugged.", panel.at_s))
    panel.wait(0.01)
    assert "Now " not in panel.text and "was unplugged" in panel.text
    assert not panel.needle and panel.sensor.tone_hz(panel.at_s) is None


def test_a_line_that_is_open_again_is_old_until_it_speaks() -> None:
    panel = Panel(WAYS["pulling"])
    kinds: tuple[Kind, ...] = ("lost", "opened")
    for kind in kinds:
        panel.line.coming.append(PortNews(kind, "/dev/x", "/dev/x.", panel.at_s))
        panel.wait(0.01)
        assert panel.seen.stale and "Now " not in panel.text and not panel.needle
    panel.to(46.3, 0.1)
    assert "Now 46.3°" in panel.text


def test_readings_that_come_again_are_live_again() -> None:
    panel = Panel(WAYS["pulling"])
    panel.wait(5.0)
    assert "Now " not in panel.text
    panel.to(46.4, 0.5)
    assert "Now 46.4°" in panel.text and panel.needle


def test_a_sensor_that_feels_gravity_wants_the_bend_upright_until_the_angle_rises() -> None:
    """A bend that lies flat never makes its angle rise: the sentence stays where it is read."""
    panel = Panel(WAYS["waiting"])
    assert "needs the bend upright" in panel.text
    panel.to(30, 1.5)
    assert panel.seen.state == "pulling" and "upright" not in panel.text
    rides_encoder = replace(panel.seen, gravity=False, state="waiting")
    other = replace(panel.model, sensor=rides_encoder)
    assert "upright" not in scene_text(view(other))
