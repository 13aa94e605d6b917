"""Frames, and every sample cut up and in noise: the same events."""

from random import Random

import pytest

from benchcalc.sensor.ascii_line import AsciiLine
from benchcalc.sensor.events import BadFrame, Framed, Reading, Unused
from benchcalc.sensor.modbus_rtu import ModbusRtu, crc16, read_request, with_crc
from benchcalc.sensor.nmea import NmeaXdr, checksum
from benchcalc.sensor.profile import Settings
from tests.sensor.samples import (
    GGA,
    MIXED,
    NO_ANGLE,
    PITCH_YAW,
    SAMPLES,
    THREE,
    Sample,
    angles,
    pieces,
    read_all,
)

WAYS = ("whole", "byte by byte", "anyhow")
each_sample = pytest.mark.parametrize("sample", SAMPLES, ids=lambda sample: sample.name)


# The first is published, from memory; the others are ours, and pynmea2 agrees.
@pytest.mark.parametrize(
    ("sentence", "check"),
    [(GGA, 0x47), (PITCH_YAW, 0x4D), (THREE, 0x05), (MIXED, 0x24), (NO_ANGLE, 0x41)],
)
def test_checksums(sentence: bytes, check: int) -> None:
    assert checksum(sentence[1:].partition(b"*")[0]) == check


# Source: the CRC catalogue's check value for Modbus, and the Modbus specification's examples.
def test_published_check_numbers_and_questions() -> None:
    assert crc16(b"123456789") == 0x4B37
    assert read_request(1, 3, 0, 10) == bytes.fromhex("01 03 00 00 00 0A C5 CD")
    assert read_request(17, 3, 0x6B, 3) == bytes.fromhex("11 03 00 6B 00 03 76 87")


@each_sample
@pytest.mark.parametrize("way", WAYS)
def test_the_way_of_cutting_makes_no_matter(sample: Sample, way: str) -> None:
    data = b"".join(sample.frames)
    events = read_all(sample.settings, data, way)
    assert angles(events) == pytest.approx(sample.angles_deg)
    assert events == read_all(sample.settings, data)
    assert all(isinstance(event, Reading) and event.at_s == 1.0 for event in events)


@each_sample
@pytest.mark.parametrize("way", WAYS)
def test_noise_before_between_and_after_changes_no_reading(sample: Sample, way: str) -> None:
    for seed in range(60):
        random = Random(seed)
        before, between, after = (random.choice(sample.noise) for _ in range(3))
        data = before + sample.frames[0] + between + sample.frames[1] + after
        events = read_all(sample.settings, data, way, seed)
        assert angles(events) == pytest.approx(sample.angles_deg), (before, between, after)
        assert events == read_all(sample.settings, data)


@each_sample
def test_a_reading_carries_its_frame_and_noise_is_told(sample: Sample) -> None:
    events = read_all(sample.settings, sample.noise[0] + sample.frames[0])
    assert isinstance(events[0], BadFrame) and sample.noise[0].strip() in events[0].raw
    assert isinstance(events[-1], Reading) and sample.frames[0].startswith(events[-1].raw[:-2])


CHECKED = [sample for sample in SAMPLES if not isinstance(sample.settings, AsciiLine)]


@pytest.mark.parametrize("sample", CHECKED, ids=lambda sample: sample.name)
def test_a_damaged_byte_never_gives_another_angle(sample: Sample) -> None:
    """But for plain lines, which carry nothing to check them by."""
    frame = sample.frames[0]
    for place in range(len(frame) - 2):
        for flip in (1, 0x10, 0x80):
            damaged = frame[:place] + bytes((frame[place] ^ flip,)) + frame[place + 1 :]
            events = read_all(sample.settings, damaged + sample.frames[1])
            assert angles(events) in ((), sample.angles_deg[1:]), damaged
            assert any(isinstance(event, BadFrame) for event in events), damaged


def sentence(body: str) -> bytes:
    return f"${body}*{checksum(body.encode()):02X}\r\n".encode()


NAMED = NmeaXdr(name="ROLL")
TOLD: list[tuple[Settings, bytes, type[Framed], str]] = [
    (NmeaXdr(), PITCH_YAW.replace(b"4D", b"4C"), BadFrame, "checksum 4D, sent 4C"),
    (NmeaXdr(), PITCH_YAW.replace(b"4D", b"4"), BadFrame, "two hexadecimal digits"),
    (NmeaXdr(), PITCH_YAW.replace(b"*4D", b""), BadFrame, "no checksum"),
    (NmeaXdr(), b"$IIXDR,A,1.5,D,P" + PITCH_YAW, BadFrame, "cut off"),
    (NmeaXdr(name="N"), MIXED, BadFrame, "unit is 'M', not degrees"),
    (NmeaXdr(), NO_ANGLE, Unused, "type 'C', not an angle"),
    (NmeaXdr(place=3), PITCH_YAW, Unused, "2 transducers, none at place 3"),
    (NAMED, PITCH_YAW, Unused, "no transducer is named ROLL"),
    (NAMED, sentence("IIXDR,A,1,D,ROLL,A,2,D,ROLL"), BadFrame, "2 transducers are named ROLL"),
    (NAMED, sentence("IIXDR,A,,D,ROLL"), BadFrame, "left out is no number"),
    (NAMED, sentence("IIXDR,A,1e3,D,ROLL"), BadFrame, "'1e3' is no number"),
    (NAMED, sentence("IIXDR,A,nan,D,ROLL"), BadFrame, "'nan' is no number"),
    (NAMED, sentence("IIXDR,A,1.0,,ROLL"), BadFrame, "unit is left out"),
    (NAMED, sentence("IIXDR,A,1.0,D,ROLL,A,2"), BadFrame, "parts missing"),
    (NAMED, sentence("GPGGA,123519,4807.038,N"), Unused, "another sentence than XDR"),
    (NmeaXdr(), b"$" + b"A" * 300 + b"\r\n", BadFrame, "within 256 bytes"),
    (AsciiLine(b"X="), b"Y=+07.25\r\n", BadFrame, "built otherwise"),
    (AsciiLine(b"X="), b"X=+07,25\r\n", BadFrame, "no number"),
    (AsciiLine(b"X="), b"X=+07.2.5\r\n", BadFrame, "no number"),
    (AsciiLine(b"X=", width=9), b"X=+7.250\r\n", BadFrame, "8 characters, not 9"),
    (AsciiLine(b"X=", b"deg"), b"X=+7.250\r\n", BadFrame, "built otherwise"),
    (AsciiLine(b"X="), b"X" * 300, BadFrame, "within 256 bytes"),
    (AsciiLine(), b"59.99\r\n", Unused, "its beginning may be lost"),
    (ModbusRtu(), with_crc(b"\x01\x83\x02"), BadFrame, "refuses (code 2): it has no such register"),
    (ModbusRtu(), b"\x01\x03\x02\x01\xc2\x00\x00" * 2, BadFrame, "CRC"),
    (ModbusRtu(), read_request(1, 3, 0, 1), Unused, "echoed"),
    (ModbusRtu(), b"\x00" * 300, BadFrame, "outside an answer"),
    (ModbusRtu(kind="float32"), with_crc(b"\x01\x03\x04\x7f\xc0\x00\x00"), BadFrame, "no angle"),
]


@pytest.mark.parametrize(("settings", "data", "kind", "words"), TOLD, ids=lambda v: str(v)[:30])
def test_what_is_wrong_is_told_and_nothing_guessed(
    settings: Settings, data: bytes, kind: type[Framed], words: str
) -> None:
    padded = data + (with_crc(b"\x01\x83\x02") if b"CRC" in words.encode() else b"")
    events = read_all(settings, padded)
    assert isinstance(events[0], kind) and words in getattr(events[0], "why", "")
    assert events == read_all(settings, padded, "byte by byte")
    assert not any(e.raw != PITCH_YAW[:-2] for e in events if isinstance(e, Reading))


NUMBERS: list[tuple[ModbusRtu, str, float]] = [
    (ModbusRtu(kind="uint16"), "ffff", 65535.0),
    (ModbusRtu(kind="int16"), "8000", -32768.0),
    (ModbusRtu(kind="int32", scale=0.001), "00 00 af c8", 45.0),
    (ModbusRtu(kind="int32", words="low first", scale=-0.001), "af c8 00 00", -45.0),
    (ModbusRtu(kind="float32"), "42 34 80 00", 45.125),
]


@pytest.mark.parametrize(("settings", "data", "angle_deg"), NUMBERS)
def test_every_kind_of_number_in_registers(
    settings: ModbusRtu, data: str, angle_deg: float
) -> None:
    raw = bytes.fromhex(data)
    frame = with_crc(bytes((1, 3, len(raw))) + raw)
    assert angles(read_all(settings, frame)) == pytest.approx((angle_deg,))


def test_a_sentence_without_checksum_is_taken_when_the_profile_says_so() -> None:
    bare = PITCH_YAW.replace(b"*4D", b"")
    assert angles(read_all(NmeaXdr(checksum=False), bare)) == (1.062,)
    wrong = PITCH_YAW.replace(b"4D", b"4C")
    assert angles(read_all(NmeaXdr(checksum=False), wrong)) == ()


def test_the_second_plain_line_is_read() -> None:
    assert angles(read_all(AsciiLine(), b"9.99\r\n359.99\r\n0.01\r\n")) == (359.99, 0.01)


def test_pieces_are_the_data() -> None:
    for way in WAYS:
        assert b"".join(pieces(PITCH_YAW, way, Random(1))) == PITCH_YAW
