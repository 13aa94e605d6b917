"""The port's owner thread on real pseudo-terminals: plug, unplug, silence, strangers, floods."""

import os
import termios
import threading
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from benchcalc.sensor.ascii_line import AsciiLine
from benchcalc.sensor.events import Event, Reading, Silence
from benchcalc.sensor.profile import Parity, SensorProfile, SerialLine
from benchcalc.shell.port import MOST_QUEUED, Chunk, Found, Kind, PortNews, SerialPort
from benchcalc.shell.watch import News, SensorWatch, trouble_told
from tests.shell.terminals import held, terminal, wait_for

LINE = SerialLine()
PROFILE = SensorProfile("lines", AsciiLine(b"X="), LINE, zero_deg=0.0)
QUICK_S = 0.01


def open_port(name: str, **more: Any) -> SerialPort:
    port = SerialPort(name, LINE, first_wait_s=QUICK_S, **more)
    port.start()
    return port


def news(port: SerialPort, kind: Kind) -> PortNews:
    """Wait until the port tells this."""

    def told() -> PortNews | None:
        found = [item for item in port.take() if isinstance(item, PortNews) and item.kind == kind]
        return found[0] if found else None

    return wait_for(told)


def data_from(port: SerialPort) -> bytes:
    return b"".join(item.data for item in port.take() if isinstance(item, Chunk))


def test_bytes_arrive_with_their_time_and_are_sent_back() -> None:
    with terminal() as line:
        port = open_port(line.name)
        try:
            news(port, "opened")
            before_s = time.monotonic()
            line.write(b"X=+7.25\r\n")
            chunk = wait_for(lambda: next((c for c in port.take() if isinstance(c, Chunk)), None))
            assert b"X=+7.25\r\n".startswith(chunk.data) and chunk.data
            assert before_s <= chunk.at_s <= time.monotonic()
            port.send(b"?\r")
            wait_for(lambda: _read(line.master) == b"?\r")
        finally:
            port.close()


def _read(descriptor: int) -> bytes:
    try:
        return os.read(descriptor, 100)
    except BlockingIOError:
        return b""


@pytest.mark.parametrize(("parity", "checked"), [("none", False), ("even", True), ("odd", True)])
def test_the_driver_is_told_to_check_the_parity(parity: Parity, checked: bool) -> None:
    """A pseudo-terminal checks none itself; what is asked of its driver can be read back."""
    with terminal() as line:
        port = SerialPort(line.name, SerialLine(parity=parity), first_wait_s=QUICK_S)
        port.start()
        try:
            news(port, "opened")
            asked = termios.tcgetattr(line.slave)[0]
            assert bool(asked & termios.INPCK) == checked
            assert not asked & (termios.IGNPAR | termios.PARMRK)
        finally:
            port.close()


def test_a_port_that_is_not_there_is_told_once_and_tried_again(tmp_path: Path) -> None:
    link = tmp_path / "sensor"
    port = open_port(str(link))
    try:
        assert news(port, "missing").says == (
            f"{link} is not there: plug the sensor in, or name another port."
        )
        time.sleep(0.2)
        assert port.take() == []
        with terminal() as line:
            link.symlink_to(line.name)
            news(port, "opened")
            link.unlink()
    finally:
        port.close()


def test_a_port_held_by_another_program() -> None:
    with terminal() as line:
        first = open_port(line.name)
        news(first, "opened")
        second = open_port(line.name)
        try:
            assert "held by another program" in news(second, "held").says
            first.close()
            news(second, "opened")
        finally:
            first.close()
            second.close()


def test_what_is_no_serial_port(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    port = open_port(str(tmp_path / "file"))
    try:
        assert "does not take its settings (9600 8N1)" in news(port, "refused").says
    finally:
        port.close()


def test_settings_that_a_port_does_not_take() -> None:
    """A pseudo-terminal has no parity; the second try to set it is refused by the system."""
    with terminal() as line:
        for _ in range(2):
            port = SerialPort(line.name, SerialLine(9600, "even"), first_wait_s=QUICK_S)
            port.start()
            (told,) = wait_for(port.take)
            port.close()
    assert isinstance(told, PortNews) and told.kind in ("opened", "refused")
    assert told.kind == "opened" or "(9600 8E1)" in told.says


def test_unplugged_and_plugged_in_under_another_name() -> None:
    with terminal() as first, terminal() as second:
        found = [Found(first.name, "adapter", "1:2:A"), Found("/dev/null", "other", "1:2:B")]
        port = open_port(first.name, find=lambda: found)
        try:
            news(port, "opened")
            found[0] = Found(second.name, "adapter", "1:2:A")
            first.close()
            assert "was unplugged" in news(port, "lost").says
            assert news(port, "opened").name == second.name
            second.write(b"X=1\r\n")
            wait_for(lambda: data_from(port))
        finally:
            port.close()


def test_waits_grow_from_half_a_second_to_five(monkeypatch: pytest.MonkeyPatch) -> None:
    waits: list[float] = []

    class Stop(threading.Event):
        def wait(self, timeout: float | None = None) -> bool:
            waits.append(timeout or 0.0)
            if len(waits) == 6:
                self.set()
            return super().wait(0)

    port = SerialPort("/dev/no-such-port", LINE)
    monkeypatch.setattr(port, "_stop", Stop())
    port.start()
    wait_for(lambda: len(waits) >= 6)
    port.close()
    assert waits[:6] == [0.5, 1.0, 2.0, 4.0, 5.0, 5.0]


@pytest.mark.parametrize("error", [OSError(5, "gone"), TypeError("no descriptor")])
def test_a_port_that_fails_while_it_is_read_is_closed(
    error: Exception, monkeypatch: pytest.MonkeyPatch
) -> None:
    closed: list[bool] = []

    class Failing:
        in_waiting = 0
        exclusive = False

        def open(self) -> None:
            """Opens well."""

        def read(self, _: int) -> bytes:
            raise error

        def close(self) -> None:
            closed.append(True)
            raise OSError(9, "twice")

    monkeypatch.setattr("serial.serial_for_url", lambda *_, **__: Failing())
    port = open_port("/dev/failing", find=list)
    try:
        news(port, "lost")
        wait_for(lambda: len(closed) >= 2)  # and opened again
    finally:
        port.close()


def test_urls_are_taken_too() -> None:
    port = open_port("loop://")
    try:
        news(port, "opened")
        port.send(b"X=1\r\n")
        assert wait_for(lambda: data_from(port)).startswith(b"X")
    finally:
        port.close()


def test_bytes_that_nobody_takes_do_not_pile_up() -> None:
    with terminal() as line:
        port = open_port(line.name)
        try:
            news(port, "opened")
            for number in range(8000):
                line.write(b"X=%+07.3f\r\n" % (number / 1000))
                if number % 50 == 0:
                    time.sleep(0.002)
            wait_for(lambda: port.dropped > 0)
            time.sleep(0.2)
            data = data_from(port)
            assert len(data) <= MOST_QUEUED
            assert data.endswith(b"X=+07.999\r\n") or port.dropped > 0
        finally:
            port.close()


def watched(
    profile: SensorProfile, port: SerialPort
) -> tuple[SensorWatch, Callable[[], list[News]]]:
    watch = SensorWatch(profile, port, time.monotonic())
    return watch, lambda: watch.look(time.monotonic())


def test_silence_and_a_wrong_speed_are_told_apart() -> None:
    with terminal() as line:
        port = open_port(line.name)
        try:
            _, look = watched(PROFILE, port)
            silence = wait_for(lambda: _silence(look()))
            assert "said nothing for 2 s: check its power" in trouble_told(silence).shown
            line.write(b"X=1\r\n")
            wait_for(lambda: [event for event in look() if isinstance(event, Reading)])
            end_s = time.monotonic() + 2.5
            told: list[Silence] = []
            while time.monotonic() < end_s and not told:
                line.write(b"\xf8\x80\xfe")
                told = [event for event in look() if isinstance(event, Silence)]
                time.sleep(0.02)
            assert "check speed, parity and protocol" in trouble_told(told[0]).shown
        finally:
            port.close()


def _silence(events: list[News]) -> Silence | None:
    return next((event for event in events if isinstance(event, Silence)), None)


def test_a_frozen_line_is_stale_and_shown_with_its_age() -> None:
    with terminal() as line:
        port = open_port(line.name)
        try:
            watch, look = watched(replace(PROFILE, stale_s=0.2), port)
            wait_for(lambda: [event for event in look() if isinstance(event, PortNews)])
            line.write(b"X=12.5\r\n")
            wait_for(lambda: [event for event in look() if isinstance(event, Reading)])
            fresh = watch.live(time.monotonic())
            assert not fresh.stale and fresh.bend is not None and fresh.bend.bend_deg == 12.5
            time.sleep(0.25)
            look()
            old = watch.live(time.monotonic())
            assert old.stale and old.age_s > 0.2
        finally:
            port.close()


def test_readings_are_fresh_with_a_writer_at_a_hundred_times_the_rate() -> None:
    """1000 lines a second where 10 are usual, each with the time when it was written."""
    with terminal() as line:
        port = open_port(line.name)
        stop = threading.Event()
        began_s = time.monotonic()

        def write() -> None:
            while not stop.is_set():
                line.write(b"X=%.4f\r\n" % (time.monotonic() - began_s))
                time.sleep(0.001)

        writer = threading.Thread(target=write)
        try:
            watch, look = watched(replace(PROFILE, wrap_deg=0.0), port)
            wait_for(lambda: [event for event in look() if isinstance(event, PortNews)])
            writer.start()
            ages: list[float] = []
            count = 0
            while time.monotonic() - began_s < 3:
                count += sum(isinstance(event, Reading) for event in look())
                raw_deg = watch.live(time.monotonic()).raw_deg
                if raw_deg is not None:
                    ages.append(time.monotonic() - began_s - raw_deg)
                time.sleep(0.02)
            assert count > 500 and max(ages[5:]) < 0.15
        finally:
            stop.set()
            writer.join()
            port.close()


def test_two_hundred_times_unplugged_leaks_nothing(tmp_path: Path) -> None:
    link = tmp_path / "sensor"
    before = held()
    port = open_port(str(link))
    watch, look = watched(PROFILE, port)
    for number in range(200):
        with terminal() as line:
            link.symlink_to(line.name)
            line.write(b"\xff\x00garbage=\r\nX=" + b"9" * (number % 7))
            wanted = number / 10

            def came(line: Any = line, wanted: float = wanted) -> Event | None:
                line.write(b"X=%.1f\r\n" % wanted)
                got = [e for e in look() if isinstance(e, Reading) and e.value_deg == wanted]
                return got[-1] if got else None

            wait_for(came)
            assert not watch.live(time.monotonic()).stale
            assert held()[1] == before[1] + 1
            link.unlink()
        wait_for(lambda: [e for e in look() if isinstance(e, PortNews) and e.kind == "lost"])
    port.close()
    assert held() == before
