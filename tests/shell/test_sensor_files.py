"""Sensor profiles: the built-in ones, a bench's own, and what is refused in them."""

from pathlib import Path

import pytest

from benchcalc.files.loading import load_sensors
from benchcalc.jobfile.problems import BadFile
from benchcalc.sensor.ascii_line import AsciiLine
from benchcalc.sensor.modbus_rtu import ModbusRtu
from benchcalc.sensor.nmea import NmeaXdr
from benchcalc.sensor.profile import SerialLine

OWN = """\
mine:
  speaks: ascii
  prefix: "T="
  line_end: cr
  decimal: comma
  width: 9
  baud: 19200
  parity: odd
  data_bits: 7
  stop_bits: 2
  port: /dev/benchcalc-sensor
  poll: "READ\\\\r"
  poll_every: 200 ms
  stale_after: 0.6 s
  rides: arm
  sees: encoder
  sign: "-1"
  zero: -12.5 deg
  wrap: 0 deg
  resolution: 0.05 deg
  noise: 0.02 deg
  lag: 50 ms
  source: measured on our bench
"""


def test_the_built_in_profiles_speak_every_protocol_and_say_where_they_come_from() -> None:
    profiles = load_sensors(None)
    assert {type(profile.speaks) for profile in profiles} == {NmeaXdr, AsciiLine, ModbusRtu}
    assert all("measure yours" in profile.source for profile in profiles)
    assert {profile.rides for profile in profiles} == {"arm", "tube"}


def test_every_field_of_an_own_profile(tmp_path: Path) -> None:
    (tmp_path / "sensors.yaml").write_text(OWN)
    mine = load_sensors(tmp_path)[-1]
    assert mine.speaks == AsciiLine(b"T=", b"", b",", b"\r", 9, b"READ\r", 1.0)
    assert mine.line == SerialLine(19200, "odd", 7, 2)
    assert (mine.port, mine.poll_s, mine.stale_s) == ("/dev/benchcalc-sensor", 0.2, 0.6)
    assert (mine.rides, mine.sees, mine.sign, mine.zero_deg) == ("arm", "encoder", -1, -12.5)
    assert (mine.wrap_deg, mine.resolution_deg, mine.noise_deg, mine.lag_s) == (0, 0.05, 0.02, 0.05)


def test_modbus_fields(tmp_path: Path) -> None:
    text = """\
m:
  {speaks: modbus, unit: 7, function: 4, register: 30, kind: int32, words: low first,
   scale: 0.001, rides: tube, sees: gravity, resolution: 0.1 deg, noise: 0 deg, source: a test}
"""
    (tmp_path / "sensors.yaml").write_text(text)
    assert load_sensors(tmp_path)[-1].speaks == ModbusRtu(7, 4, 30, "int32", "low first", 0.001)


def test_an_own_profile_replaces_a_built_in_one(tmp_path: Path) -> None:
    (tmp_path / "sensors.yaml").write_text(OWN.replace("mine:", "lines-prefix:"))
    own, built_in = load_sensors(tmp_path), load_sensors(None)
    assert len(own) == len(built_in)
    assert next(p for p in own if p.key == "lines-prefix").rides == "arm"


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("speaks: ascii", "speaks: latin", "one of nmea, ascii, modbus"),
        ("baud: 19200", "baud: 19201", "one of 1200"),
        ("poll_every: 200 ms", "poll_every: 200", "a time with s or ms"),
        ("poll_every: 200 ms", "poll_every: 20 s", "from 0.02 to 10 s"),
        ("resolution: 0.05 deg", "resolution: 0.05", "its unit must be written"),
        ("noise: 0.02 deg", "noise: -1 deg", "from 0 to 5 deg"),
        ("  rides: arm\n", "", "mine rides: missing"),
        ("  source: measured on our bench\n", "", "mine source: missing"),
        ("width: 9", "widht: 9", "did you mean width?"),
        ('prefix: "T="', 'prefix: "°="', "plain characters only"),
        ("width: 9", "scale: 0", "not 0"),
        ("width: 9", "register: 9", "no such key here"),
    ],
)
def test_what_is_refused(tmp_path: Path, old: str, new: str, words: str) -> None:
    assert old in OWN
    (tmp_path / "sensors.yaml").write_text(OWN.replace(old, new))
    with pytest.raises(BadFile) as caught:
        load_sensors(tmp_path)
    assert words in str(caught.value)
