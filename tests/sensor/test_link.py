"""The conversation: when a question goes out, when silence is told, that memory stays bounded."""

from dataclasses import replace

import pytest

from benchcalc.sensor.ascii_line import AsciiLine
from benchcalc.sensor.events import BadFrame, Event, Reading, Silence
from benchcalc.sensor.link import MOST_EVENTS, Link
from benchcalc.sensor.modbus_rtu import ModbusRtu, read_request, with_crc
from benchcalc.sensor.nmea import NmeaXdr
from benchcalc.sensor.profile import SensorProfile

ASKED = SensorProfile("asked", ModbusRtu(scale=0.1), poll_s=0.1)
QUESTION = read_request(1, 3, 0, 1)
ANSWER = with_crc(b"\x01\x03\x02\x01\xc2")


def events(link: Link) -> list[Event]:
    found = []
    while (event := link.next_event()) is not None:
        found.append(event)
    return found


def test_questions_go_out_at_their_interval() -> None:
    link = Link(ASKED, 0.0)
    sent = [step / 100 for step in range(100) if link.tick(step / 100) == QUESTION]
    assert len(sent) == 10 and sent[0] == 0.0


def test_a_question_waits_for_an_answer_that_still_comes() -> None:
    link = Link(ASKED, 0.0)
    assert link.tick(0.0) == QUESTION
    link.receive_data(ANSWER[:3], 0.09)
    assert link.tick(0.11) == b""
    link.receive_data(ANSWER[3:], 0.12)
    assert link.tick(0.13) == QUESTION
    assert events(link) == [Reading(45.0, 0.12, ANSWER)]


def test_an_answer_that_never_ends_is_cut_off_by_the_next_question() -> None:
    link = Link(ASKED, 0.0)
    link.tick(0.0)
    link.receive_data(ANSWER[:3], 0.02)
    assert link.tick(0.2) == QUESTION
    link.receive_data(ANSWER, 0.25)
    assert events(link) == [
        BadFrame("the answer was cut off", ANSWER[:3], 0.2),
        Reading(45.0, 0.25, ANSWER),
    ]


def test_a_sensor_that_speaks_by_itself_is_asked_nothing() -> None:
    link = Link(SensorProfile("n", NmeaXdr()), 0.0)
    assert [link.tick(step / 10) for step in range(100)] == [b""] * 100


def test_silence_is_told_once_with_what_was_heard() -> None:
    link = Link(SensorProfile("n", NmeaXdr()), 10.0)
    link.tick(11.9)
    assert events(link) == []
    link.tick(12.0)
    link.tick(15.0)
    assert events(link) == [Silence(10.0, 0, 12.0)]


def test_bytes_that_are_no_readings_are_not_silence_of_the_line() -> None:
    link = Link(SensorProfile("n", NmeaXdr()), 0.0)
    link.receive_data(b"\xf8\x80\x00\r\n", 1.0)
    link.tick(3.0)
    assert [event for event in events(link) if isinstance(event, Silence)] == [Silence(0.0, 5, 3.0)]


def test_after_a_reading_silence_is_told_anew() -> None:
    link = Link(ASKED, 0.0)
    link.tick(2.0)
    link.receive_data(ANSWER, 2.5)
    link.tick(4.5)
    silences = [event for event in events(link) if isinstance(event, Silence)]
    assert [event.since_s for event in silences] == [0.0, 2.5]


def test_slow_questions_give_silence_more_time() -> None:
    link = Link(replace(ASKED, poll_s=2.0), 0.0)
    link.tick(5.9)
    assert events(link) == []
    link.tick(6.0)
    assert len(events(link)) == 1


def test_events_that_nobody_draws_do_not_pile_up() -> None:
    link = Link(ASKED, 0.0)
    for step in range(2 * MOST_EVENTS):
        link.receive_data(ANSWER, float(step))
    drawn = events(link)
    assert len(drawn) == MOST_EVENTS
    assert drawn[-1] == Reading(45.0, 2.0 * MOST_EVENTS - 1, ANSWER)


@pytest.mark.parametrize(
    ("settings", "half"), [(NmeaXdr(), b"$IIXDR,A,1"), (AsciiLine(b"X="), b"X=1")]
)
def test_a_line_opened_anew_forgets_what_was_begun(settings: NmeaXdr, half: bytes) -> None:
    link = Link(SensorProfile("n", settings), 0.0)
    link.receive_data(half, 0.5)
    link.line_lost(1.0)
    (event,) = events(link)
    assert isinstance(event, BadFrame) and event.raw == half
