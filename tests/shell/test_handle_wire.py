"""The handle's switch on an input line of a port, and a pedal that is a key."""

from dataclasses import replace
from typing import Any

import pytest
import serial

from benchcalc.panel.state.messages import BendSettled, ExpectBend
from benchcalc.sensor.nmea import NmeaXdr
from benchcalc.sensor.profile import SensorProfile
from benchcalc.shell.port import (
    Chunk,
    HandleSaid,
    HandleWire,
    Item,
    PortNews,
    SerialPort,
    handle_wire,
)
from benchcalc.shell.sensing import PanelSensor
from benchcalc.shell.simulated_bench import frame_of
from tests.shell.terminals import terminal, wait_for
from tests.shell.test_last_bend import Wire

PROFILE = SensorProfile("wired", NmeaXdr("PITCH"), zero_deg=0.0, noise_deg=0.02, handle="cts")


def test_a_profile_names_the_line() -> None:
    assert handle_wire(PROFILE) == HandleWire("cts", True)
    assert handle_wire(replace(PROFILE, handle="dcd", handle_on="held")) == ("dcd", False)
    assert handle_wire(replace(PROFILE, handle="f9")) is None
    assert handle_wire(replace(PROFILE, handle="none")) is None


def said(port: SerialPort) -> bool | None:
    found = [item.released for item in port.take() if isinstance(item, HandleSaid)]
    return found[-1] if found else None


@pytest.mark.parametrize(("name", "drives"), [("cts", "rts"), ("dsr", "dtr")])
@pytest.mark.parametrize("on_is_released", [True, False])
def test_each_change_of_the_line_is_told(
    name: str, drives: str, on_is_released: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """pyserial's own loop, whose CTS follows its RTS and whose DSR follows its DTR."""
    made: list[Any] = []
    real = serial.serial_for_url

    def kept(*words: Any, **more: Any) -> Any:
        made.append(real(*words, **more))
        return made[-1]

    monkeypatch.setattr(serial, "serial_for_url", kept)
    port = SerialPort("loop://", PROFILE.line, handle=HandleWire(name, on_is_released))
    port.start()
    try:
        assert wait_for(lambda: (told := said(port)) is not None and [told]) == [on_is_released]
        for level in (False, True, False):
            setattr(made[0], drives, level)
            want = level == on_is_released
            assert wait_for(lambda: (told := said(port)) is not None and [told]) == [want]
    finally:
        port.close()


def test_a_port_without_such_lines_says_so_and_reads_on() -> None:
    """A pseudo-terminal has none."""
    with terminal() as line:
        port = SerialPort(line.name, PROFILE.line, handle=HandleWire("cts", True))
        port.start()
        try:
            told = wait_for(lambda: [item for item in port.take() if is_lineless(item)])
            assert "no input line cts" in str(told[0])
            line.write(b"X=1\r\n")
            wait_for(lambda: [i for i in port.take() if isinstance(i, Chunk)])
        finally:
            port.close()


def is_lineless(item: Item) -> bool:
    return isinstance(item, PortNews) and item.kind == "no line"


def bend(profile: SensorProfile, lets_go: bool, key: str = "") -> list[float]:
    """Pulled to 91.9, eased at once to 90.0 and held; what the panel settles, in degrees."""
    wire = Wire()
    sensor = PanelSensor(profile, wire, 0.0)  # type: ignore[arg-type]
    sensor.carry_out(ExpectBend(90.0, 0.5, 1.9, 0.3, 91.9), 0.0)
    degs = [0.0] * 20 + [91.9 * i / 60 for i in range(61)] + [91.9] * 40
    degs += [91.9 - 1.9 * i / 6 for i in range(1, 7)] + [90.0] * 120
    wire.due.append(HandleSaid(False, 0.0))
    settled = []
    for i, deg in enumerate(degs):
        at_s = (i + 1) / 20
        if i == 170 and lets_go and not key:
            wire.due.append(HandleSaid(True, at_s))
        if i == 170 and key:
            sensor.released(key, at_s)
        wire.due.append(Chunk(frame_of(profile.speaks, deg + 0.02 * (i % 2)), at_s))
        for message in sensor.look(at_s):
            if isinstance(message, BendSettled):
                settled.append(message.settled.released_deg)
    return settled


def test_the_panel_waits_for_the_handle() -> None:
    assert bend(PROFILE, lets_go=False) == []
    assert bend(PROFILE, lets_go=True) == [pytest.approx(90.0, abs=0.03)]
    assert bend(replace(PROFILE, handle="none"), lets_go=False) == [pytest.approx(90.0, abs=0.03)]


def test_a_pedal_is_a_key_and_other_keys_are_none() -> None:
    pedal = replace(PROFILE, handle="f9")
    assert bend(pedal, lets_go=False, key="f9") == [pytest.approx(90.0, abs=0.03)]
    assert bend(pedal, lets_go=False, key="f8") == []
