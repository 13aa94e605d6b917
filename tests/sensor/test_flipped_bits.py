"""Plain text lines without a checksum, one bit flipped in every fifth of them: none is believed."""

from random import Random

import pytest

from benchcalc.sensor.ascii_line import AsciiLine
from benchcalc.sensor.expectation import Expectation
from benchcalc.sensor.profile import SensorProfile
from benchcalc.sensor.settling import State
from benchcalc.shell.port import Chunk, Item
from benchcalc.shell.watch import SensorWatch

LINES = AsciiLine(prefix=b"angle ", end=b"\r\n")
BARE = AsciiLine(end=b"\r\n")
SHARE = 0.2
HELD = 100


class Wire:
    """Brings what it is given."""

    def __init__(self) -> None:
        self.due: list[Item] = []

    def take(self) -> list[Item]:
        taken, self.due = self.due, []
        return taken

    def send(self, data: bytes) -> None:
        """Nobody listens."""


def flipped(line: bytes, random: Random) -> bytes:
    """A line with one bit of it the other way round."""
    at, bit = random.randrange(len(line)), 1 << random.randrange(8)
    return line[:at] + bytes([line[at] ^ bit]) + line[at + 1 :]


def way(random: Random, hz: float, lets_go: bool) -> list[float]:
    """Seated, pulled to where the target is and held there under load; perhaps let go, to under."""

    def hold(deg: float, seconds: float) -> list[float]:
        return [deg] * round(seconds * hz)

    up = round(random.uniform(2, 5) * hz)
    held_deg = 90.0 + random.choice((0.0, 0.2, -0.3, 1.9))
    path = hold(0, 1) + [held_deg * (i + 1) / up for i in range(up)]
    path += hold(held_deg, random.uniform(3, 12))
    if not lets_go:
        return path + hold(held_deg, 5)
    steps = max(round(0.3 * hz), 1)
    path += [held_deg - 1.9 * (i + 1) / steps for i in range(steps)]
    return path + hold(held_deg - 1.9, 6)


def ended(random: Random, speaks: AsciiLine, lets_go: bool) -> tuple[State, float, int]:
    """What comes of one bend: the state at its end, the angle at its end, readings that lie."""
    hz = random.choice((5.0, 10.0, 20.0))
    resolution_deg, noise_deg = random.choice(((0.1, 0.05), (0.1, 0.1), (0.01, 0.05)))
    profile = SensorProfile(
        "lines", speaks, zero_deg=0.0, resolution_deg=resolution_deg, noise_deg=noise_deg
    )
    wire, lies = Wire(), 0
    watch = SensorWatch(profile, wire, 0.0)
    watch.expect(Expectation(90.0, 0.5, 1.9, 0.3))
    path = way(random, hz, lets_go)
    for i, deg in enumerate(path):
        said_deg = round(random.gauss(deg, noise_deg) / resolution_deg) * resolution_deg
        line = speaks.prefix + b"%.2f" % said_deg + speaks.end
        if random.random() < SHARE:
            line = flipped(line, random)
        wire.due.append(Chunk(line, (i + 1) / hz))
        for news in watch.look((i + 1) / hz):
            lies += abs(getattr(news, "value_deg", said_deg) - said_deg) > 0.3
    return watch.live(len(path) / hz).state or "waiting", path[-1], lies


@pytest.mark.parametrize(
    ("speaks", "lets_go", "count"), [(LINES, False, HELD), (LINES, True, 40), (BARE, False, 40)]
)
def test_held_bends_are_never_good(speaks: AsciiLine, lets_go: bool, count: int) -> None:
    """Held at the target, or let go from there to far under: what lies in the end is not good."""
    made = [ended(Random(f"bits {i} {lets_go}"), speaks, lets_go) for i in range(count)]
    assert [state for state, deg, _ in made if state == "good" and abs(deg - 90.0) > 0.6] == []
    if not lets_go:
        assert [state for state, *_ in made if state in ("good", "under", "over")] == []
    assert sum(lies for *_, lies in made) > 2 * count  # many flips still read as numbers
