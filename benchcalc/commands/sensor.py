"""``benchcalc sensor [PORT]``: the ports there are, or what a sensor says, one reading a line."""

import argparse
import json
import sys
import time
from collections.abc import Iterator
from contextlib import ExitStack
from pathlib import Path
from typing import NamedTuple

from benchcalc.commands.parser import BAD, DONE, LACKS, parser_of, tell
from benchcalc.files.loading import asset_path, config_folder, load_sensors
from benchcalc.jobfile.problems import BadFile, nearest
from benchcalc.jobfile.sensors import FILE, SPEAKS
from benchcalc.sensor.events import BadFrame, Reading, Silence, Unused
from benchcalc.sensor.expectation import Expectation
from benchcalc.sensor.profile import SensorProfile
from benchcalc.sensor.sieve import SetAside
from benchcalc.shell.port import Chunk, PortNews, SerialPort, handle_wire, ports
from benchcalc.shell.recording import (
    Followed,
    Full,
    Recorded,
    Recorder,
    RecordingError,
    Tapped,
    recorded,
)
from benchcalc.shell.replay import Change, Played, first_zero, judged
from benchcalc.shell.watch import News, SensorWatch, Wire, trouble_told
from benchcalc.words.language import say

LOOK_S = 0.02
MOST_DEG = 200.0
SHARE, LEAST_DEG = 0.15, 0.1
"""The springback's spread where none is given: a share of it and a little; assumed."""


class Usage(Exception):
    """What was asked cannot be done; the message says why and what to do."""


class LinesSeen(NamedTuple):
    """What came so far."""

    readings: int = 0
    refused: int = 0

    def with_news(self, news: News) -> "LinesSeen":
        """One more of its kind."""
        refused = self.refused + isinstance(news, BadFrame)
        return LinesSeen(self.readings + isinstance(news, Reading), refused)


def run(words: list[str], _: Path) -> int:
    """Run the command; returns its exit code."""
    given = _parser().parse_args(words)
    try:
        profiles = load_sensors(config_folder())
        if given.profiles:
            return _list_profiles(profiles)
        if given.replay is not None:
            return _replayed(given, profiles)
        named = given.port or _named_port(profiles, given.profile)
        if named is None:
            return _list_ports()
        profile = _profile(profiles, given.profile, named)
        return _listen(named, profile, given.record, given.seconds)
    except BadFile as bad:
        return tell(str(bad), BAD)
    except (Usage, RecordingError) as usage:
        return tell(f"benchcalc: {usage}", BAD)
    except OSError as error:
        name = error.filename or "the file"
        return tell(f"benchcalc: {name}: {error.strerror}: name another file", LACKS)


def _parser() -> argparse.ArgumentParser:
    parser = parser_of(
        "sensor",
        "Print what an angle sensor says, one reading a line; without PORT, list the serial ports.",
    )
    parser.add_argument("port", nargs="?", metavar="PORT", help="a serial port or its URL")
    parser.add_argument("--profile", metavar="KEY", help="a profile of sensors.yaml")
    parser.add_argument("--profiles", action="store_true", help="list the profiles")
    parser.add_argument("--record", type=Path, metavar="FILE", help="also keep the bytes in a file")
    parser.add_argument("--replay", type=Path, metavar="FILE", help="read a recording, no port")
    for name, metavar, default, says in (
        ("--expect", "ANGLE", None, "with --replay: judge the bend that was to come to this"),
        ("--pull-to", "ANGLE", None, "the angle under load it was to be pulled to"),
        ("--spread", "DEG", None, "standard deviation of the springback"),
        ("--tolerance", "DEG", 0.5, "degrees either way that are good, 0.5"),
    ):
        parser.add_argument(name, type=_angle, metavar=metavar, default=default, help=says)
    parser.add_argument("--zero", type=float, metavar="DEG", help="the reading of a straight tube")
    parser.add_argument("--json", action="store_true", help="a line of JSON a change")
    parser.add_argument("--seconds", type=_seconds, metavar="N", help="stop after so long")
    return parser


def _seconds(text: str) -> float:
    try:
        value = float(text)
    except ValueError:
        value = 0.0
    if not 0 < value < 1e6:
        raise argparse.ArgumentTypeError(f"{text} is no number of seconds: write 10")
    return value


def _angle(text: str) -> float:
    try:
        value = float(text)
    except ValueError:
        value = 0.0
    if not 0 < value <= MOST_DEG:
        raise argparse.ArgumentTypeError(f"{text} is no angle up to {MOST_DEG:g}: write 90")
    return value


def _profile(
    profiles: tuple[SensorProfile, ...], key: str | None, port: str | None
) -> SensorProfile:
    """The profile asked for, or the one made for this port."""
    known = tuple(profile.key for profile in profiles)
    found = next((p for p in profiles if p.key == key), None)
    if found is not None:
        return found
    if key is not None:
        hint = nearest(key, known)
        todo = f"did you mean {hint}?" if hint else "benchcalc sensor --profiles lists them"
        raise Usage(f"--profile: {key}: no such profile: {todo}")
    for profile in profiles:
        if port is not None and profile.port == port:
            return profile
    raise Usage("no profile says how this sensor speaks: give --profile KEY (--profiles lists)")


def _named_port(profiles: tuple[SensorProfile, ...], key: str | None) -> str | None:
    """The port that the profile asked for names itself."""
    return _profile(profiles, key, None).port or None if key is not None else None


def _list_ports() -> int:
    found = ports()
    for port in found:
        print(f"{port.name}  {port.words}".rstrip())
    if not found:
        print("No serial port is there: plug the sensor's adapter in.")
    return DONE


def _list_profiles(profiles: tuple[SensorProfile, ...]) -> int:
    for profile in profiles:
        kind = SPEAKS[type(profile.speaks)]
        port = f", {profile.port}" if profile.port else ""
        print(f"{profile.key:20} {kind:7} on the {profile.rides}, {profile.sees}{port}")
    print(f"\nwritten out in {asset_path(FILE)}; your own go to {config_folder() / FILE}")
    return DONE


def _replayed(given: argparse.Namespace, profiles: tuple[SensorProfile, ...]) -> int:
    """A recording: what it says; or what is made of it, where a bend is known to be in it."""
    asked = given.expect is not None or given.pull_to is not None
    expected = _expectation(given) if asked else None
    kept = list(recorded(given.replay))
    followed = next((one for one in kept if isinstance(one, Followed)), None)
    key = given.profile or (followed.profile if followed else None)
    profile = _profile(profiles, key, None)
    if expected is not None or followed is not None:
        return _judge(kept, profile, given, expected)
    return _replay(kept, profile)


def _replay(kept: list[Recorded], profile: SensorProfile) -> int:
    played = Played()
    watch, tally = SensorWatch(profile, played, 0.0), LinesSeen()
    for chunk in kept:
        if isinstance(chunk, Chunk):
            played.next = chunk
            tally = _print_all(watch.look(chunk.at_s), watch, tally, 0.0)
    _print_tally(tally)
    return DONE


def _judge(
    kept: list[Recorded],
    profile: SensorProfile,
    given: argparse.Namespace,
    expected: Expectation | None,
) -> int:
    """Say what the panel would have made of a recording, change by change."""
    zero_deg = given.zero if given.zero is not None else profile.zero_deg
    if zero_deg is None:
        zero_deg = first_zero(kept, profile)
    if zero_deg is None:
        print("it does not begin still: the sensor's own zero is taken", file=sys.stderr)
    if any(isinstance(one, Full) for one in kept):
        print("the panel had no more room: what came later is missing", file=sys.stderr)
    for one in judged(kept, profile, zero_deg or 0.0, expected):
        if isinstance(one, SetAside):
            told = say(f"sensor.aside.{one.why}", count=1, angle=f"{one.deg:.2f}°")
            print(f"{one.at_s:10.3f} s {told}", file=sys.stderr)
        elif given.json:
            print(json.dumps(_plain(one)), flush=True)
        else:
            print(_told(one), flush=True)
    return DONE


def _expectation(given: argparse.Namespace) -> Expectation:
    if given.expect is None or given.pull_to is None:
        raise Usage("--expect and --pull-to go together: give both, in degrees")
    release_deg = given.pull_to - given.expect
    if release_deg <= 0:
        what = f"--pull-to: {given.pull_to:g}: more than --expect {given.expect:g}"
        raise Usage(f"{what}: give the angle under load")
    spread_deg = given.spread if given.spread is not None else SHARE * release_deg + LEAST_DEG
    return Expectation(given.expect, given.tolerance, release_deg, spread_deg)


def _plain(change: Change) -> dict[str, object]:
    return {
        "at_s": round(change.at_s, 3),
        "state": change.state,
        "verdict": change.verdict,
        "came_out": change.came_out_deg,
        "pulled_to": change.pulled_to_deg,
    }


def _told(change: Change) -> str:
    says = f"{change.at_s:10.3f} s {change.state}"
    if change.came_out_deg is not None:
        return f"{says}: came out {change.came_out_deg:.2f}°, pulled to {change.pulled_to_deg:.2f}°"
    return f"{says}: {say(f'sensor.doubt.{change.doubt}')}" if change.doubt else says


def _listen(name: str, profile: SensorProfile, record: Path | None, seconds: float | None) -> int:
    port = SerialPort(name, profile.line, handle=handle_wire(profile))
    began_s = time.monotonic()
    with ExitStack() as stack:
        wire: Wire = port
        if record is not None:
            wire = Tapped(port, stack.enter_context(Recorder(record, began_s)).keep)
        watch, tally = SensorWatch(profile, wire, began_s), LinesSeen()
        port.start()
        stack.callback(port.close)
        ever = False
        while seconds is None or time.monotonic() - began_s < seconds:
            news = watch.look(time.monotonic())
            for one in news:
                if isinstance(one, PortNews) and one.kind != "opened" and not ever:
                    return tell(f"benchcalc: {one.says}", LACKS)
                ever = ever or (isinstance(one, PortNews) and one.kind == "opened")
            tally = _print_all(news, watch, tally, began_s)
            time.sleep(LOOK_S)
        _print_tally(tally)
    return DONE


def _print_all(news: list[News], watch: SensorWatch, tally: LinesSeen, began_s: float) -> LinesSeen:
    for one in news:
        tally = tally.with_news(one)
        for line in _lines(one, watch, began_s):
            print(line, flush=True)
    return tally


def _lines(one: News, watch: SensorWatch, began_s: float) -> Iterator[str]:
    if isinstance(one, Reading):
        rate_hz = watch.live(one.at_s).rate_hz
        rate = f"{rate_hz:8.1f} Hz" if rate_hz else ""
        yield f"{one.at_s - began_s:10.3f} s {one.value_deg:+10.3f} deg{rate}"
    elif isinstance(one, PortNews):
        print(f"benchcalc: {one.says}", file=sys.stderr)
    elif isinstance(one, Silence | BadFrame | Unused):
        print(f"{one.at_s - began_s:10.3f} s {trouble_told(one).shown}", file=sys.stderr)


def _print_tally(tally: LinesSeen) -> None:
    print(f"{tally.readings} readings, {tally.refused} frames refused", file=sys.stderr)
