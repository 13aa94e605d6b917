"""One sensor's conversation without its wire: bytes and times in; events, and questions to send.

The order of use: ``receive_data`` for what came, ``next_event`` until it gives None, ``tick`` once
a look. Memory is bounded: frames have a longest length; of events nobody draws the newest stay.
"""

from collections import deque

from benchcalc.sensor.events import Event, Reading, Silence
from benchcalc.sensor.profile import SensorProfile, framer_of

MOST_EVENTS = 4096
SILENT_S = 2.0
"""Silence is told after this long without a reading, or after three questions if that is longer."""

ANSWERING_S = 0.05
"""A new question waits while the bytes of an answer still come."""


class Link:
    """The conversation with one sensor, from the moment its line was opened."""

    def __init__(self, profile: SensorProfile, at_s: float) -> None:
        self._framer = framer_of(profile.speaks)
        self._poll_s = profile.poll_s
        self._silent_s = max(SILENT_S, 3 * profile.poll_s if self._framer.question else 0.0)
        self._events: deque[Event] = deque(maxlen=MOST_EVENTS)
        self._heard, self._told = 0, False
        self._last_s, self._byte_s = at_s, at_s
        self._ask_at_s = at_s

    def receive_data(self, data: bytes, at_s: float) -> None:
        """Take bytes that arrived at ``at_s``."""
        if data:
            self._byte_s = at_s
            self._heard += len(data)
        for event in self._framer.feed(data, at_s):
            if isinstance(event, Reading):
                self._last_s, self._heard, self._told = at_s, 0, False
            self._events.append(event)

    def next_event(self) -> Event | None:
        """The oldest event not yet drawn; None when more data is needed."""
        return self._events.popleft() if self._events else None

    def tick(self, at_s: float) -> bytes:
        """What is to be sent now, often nothing; a silence that has lasted too long is an event."""
        if not self._told and at_s - self._last_s >= self._silent_s:
            self._told = True
            self._events.append(Silence(self._last_s, self._heard, at_s))
        if not self._framer.question or at_s < self._ask_at_s:
            return b""
        if self._framer.begun and at_s - self._byte_s < ANSWERING_S:
            return b""
        self._events.extend(self._framer.cut(at_s))
        self._ask_at_s = max(self._ask_at_s + self._poll_s, at_s + self._poll_s / 2)
        return self._framer.question

    def line_lost(self, at_s: float) -> None:
        """The wire was opened anew: what was begun is void, the next question is due at once."""
        self._events.extend(self._framer.cut(at_s))
        self._heard, self._told = 0, False
        self._last_s, self._ask_at_s = at_s, at_s
