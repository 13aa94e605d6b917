"""Peers that are not ours: port pairs made by socat, Modbus served by pymodbus."""

import os
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from benchcalc.sensor.ascii_line import AsciiLine
from benchcalc.sensor.events import BadFrame, Reading
from benchcalc.sensor.modbus_rtu import ModbusRtu
from benchcalc.sensor.nmea import NmeaXdr
from benchcalc.sensor.profile import SensorProfile, SerialLine, Settings
from benchcalc.shell.port import PortNews, SerialPort
from benchcalc.shell.watch import SensorWatch
from tests.sensor.samples import MIXED, PITCH_YAW, THREE
from tests.shell.terminals import wait_for

pytestmark = pytest.mark.skipif(
    shutil.which("socat") is None, reason="socat is not installed (apt-get install socat)"
)


@pytest.fixture
def pair(tmp_path: Path) -> Iterator[tuple[Path, Path]]:
    """Two ports that are the ends of one line."""
    ends = (tmp_path / "instrument", tmp_path / "bench")
    command = ["socat", *(f"pty,raw,echo=0,link={end}" for end in ends)]
    with subprocess.Popen(command) as socat:
        try:
            wait_for(lambda: all(end.exists() for end in ends))
            yield ends
        finally:
            socat.terminate()


def readings(watch: SensorWatch) -> list[Reading]:
    """What was read since the last look; anything refused fails."""
    events = watch.look(time.monotonic())
    assert not [event for event in events if isinstance(event, BadFrame)]
    return [event for event in events if isinstance(event, Reading)]


SENT: list[tuple[Settings, bytes, float]] = [
    (NmeaXdr(name="PITCH"), PITCH_YAW, 1.062),
    (NmeaXdr(name="ROLL"), THREE, -23.0),
    (NmeaXdr(place=2), MIXED, 47.625),
    (AsciiLine(b"X="), b"X=+7.25\r\n", 7.25),
]


@pytest.mark.parametrize(("settings", "frame", "angle_deg"), SENT)
def test_frames_through_a_foreign_line(
    pair: tuple[Path, Path], settings: Settings, frame: bytes, angle_deg: float
) -> None:
    instrument, bench = pair
    port = SerialPort(str(bench), SerialLine(4800))
    port.start()
    watch = SensorWatch(SensorProfile("n", settings), port, time.monotonic())
    descriptor = os.open(instrument, os.O_RDWR | os.O_NOCTTY)
    try:
        wait_for(lambda: [n for n in watch.look(0.0) if isinstance(n, PortNews)])
        for _ in range(3):
            os.write(descriptor, frame)
            got = wait_for(lambda: readings(watch))
            assert [event.value_deg for event in got] == [angle_deg]
    finally:
        os.close(descriptor)
        port.close()


ASKED = [
    (ModbusRtu(function=3, scale=0.1), 45.0),
    (ModbusRtu(function=4, scale=0.1), 45.0),
    (ModbusRtu(function=3, register=10, kind="float32"), 45.125),
    (ModbusRtu(function=4, register=10, kind="float32"), 45.125),
]


@pytest.mark.parametrize(("settings", "angle_deg"), ASKED)
def test_modbus_served_by_a_foreign_library(
    pair: tuple[Path, Path], settings: ModbusRtu, angle_deg: float
) -> None:
    instrument, bench = pair
    command = [sys.executable, "-m", "tests.shell.modbus_peer", str(instrument)]
    with subprocess.Popen(command) as peer:
        port = SerialPort(str(bench), SerialLine(19200))
        port.start()
        watch = SensorWatch(SensorProfile("m", settings, poll_s=0.05), port, time.monotonic())
        try:
            got: list[Reading] = []

            def twenty() -> bool:
                got.extend(readings(watch))
                return len(got) >= 20

            wait_for(twenty, 20)
            assert {event.value_deg for event in got} == {angle_deg}
            assert watch.live(time.monotonic()).rate_hz > 5
        finally:
            port.close()
            peer.terminate()


def test_a_register_that_is_not_there_is_refused_in_words(pair: tuple[Path, Path]) -> None:
    instrument, bench = pair
    command = [sys.executable, "-m", "tests.shell.modbus_peer", str(instrument)]
    with subprocess.Popen(command) as peer:
        port = SerialPort(str(bench), SerialLine(19200))
        port.start()
        profile = SensorProfile("m", ModbusRtu(register=100))
        watch = SensorWatch(profile, port, time.monotonic())
        try:

            def refused() -> list[BadFrame]:
                events = watch.look(time.monotonic())
                return [event for event in events if isinstance(event, BadFrame)]

            assert "it has no such register" in wait_for(refused, 20)[0].why
        finally:
            port.close()
            peer.terminate()
