"""The same frames read by libraries that other people wrote."""

from random import Random

import pynmea2
import pytest
from pymodbus.framer import FramerRTU
from pymodbus.pdu import DecodePDU
from pymodbus.pdu.register_message import (
    ReadHoldingRegistersRequest,
    ReadHoldingRegistersResponse,
    ReadInputRegistersRequest,
    ReadInputRegistersResponse,
)

from benchcalc.sensor.events import Reading
from benchcalc.sensor.modbus_rtu import ModbusRtu, crc16, read_request
from benchcalc.sensor.nmea import NmeaXdr, checksum
from tests.sensor.samples import GGA, MIXED, NO_ANGLE, PITCH_YAW, THREE, angles, read_all

TIMES = 3000


def test_sentences_read_alike() -> None:
    for sentence in (GGA, PITCH_YAW, THREE, MIXED, NO_ANGLE):
        theirs = pynmea2.parse(sentence.decode().strip(), check=True)
        if sentence == GGA:
            assert angles(read_all(NmeaXdr(), sentence)) == ()
            continue
        for place in range(theirs.num_transducers):
            group = theirs.get_transducer(place)
            ours = read_all(NmeaXdr(place=place + 1), sentence)
            if group.type == "A" and group.units == "D":
                assert angles(ours) == (float(group.value),)
            else:
                assert angles(ours) == ()


def test_random_sentences_read_alike() -> None:
    random = Random(5)
    for _ in range(TIMES):
        groups = []
        for place in range(random.randint(1, 4)):
            value = f"{random.uniform(-360, 360):.{random.randint(0, 4)}f}"
            groups.append((random.choice("AACG"), value, random.choice("DDM"), f"T{place}"))
        body = "IIXDR," + ",".join(",".join(group) for group in groups)
        sentence = f"${body}*{pynmea2.NMEASentence.checksum(body):02X}\r\n"
        assert checksum(body.encode()) == pynmea2.NMEASentence.checksum(body)
        theirs = pynmea2.parse(sentence.strip(), check=True)
        place = random.randrange(len(groups))
        wanted = theirs.get_transducer(place)
        ours = read_all(random.choice((NmeaXdr(place=place + 1), NmeaXdr(f"T{place}"))),
                        sentence.encode())  # fmt: skip
        is_angle = wanted.type == "A" and wanted.units == "D"
        assert angles(ours) == ((float(wanted.value),) if is_angle else ())


@pytest.mark.parametrize("function", [3, 4])
def test_questions_and_answers_read_alike(function: int) -> None:
    random, theirs = Random(function), FramerRTU(DecodePDU(False))
    holding = function == 3
    for _ in range(TIMES):
        unit, register = random.randint(1, 247), random.randint(0, 65535)
        count = random.choice((1, 2))
        ask = ReadHoldingRegistersRequest if holding else ReadInputRegistersRequest
        question = theirs.buildFrame(ask(address=register, count=count, dev_id=unit))
        assert read_request(unit, function, register, count) == question
        words = [random.randint(0, 65535) for _ in range(count)]
        tell = ReadHoldingRegistersResponse if holding else ReadInputRegistersResponse
        answer = theirs.buildFrame(tell(registers=words, dev_id=unit))
        assert crc16(answer) == 0
        settings = ModbusRtu(
            unit, 3 if holding else 4, register, "uint16" if count == 1 else "int32"
        )
        (event,) = read_all(settings, answer)
        value = words[0] if count == 1 else int.from_bytes(answer[3:-2], "big", signed=True)
        if abs(value) <= 1_000_000:
            assert isinstance(event, Reading) and event.value_deg == value
        else:
            assert not isinstance(event, Reading)
