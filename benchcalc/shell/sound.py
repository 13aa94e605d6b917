"""Short tones, made by code: the pitch while pulling, and what a bend came to.

While pulling the pitch says how near the angle is. What a reading came to differs in its rhythm, in
how the pitch moves and in its length, so that whoever hears no difference in pitch can count.

A machine without sound, or one where it is switched off by BENCHCALC_SOUND=off, stays silent; the
panel says the same on the screen.
"""

import array
import os
import sys
from collections.abc import Iterable
from math import pi, sin
from pathlib import Path
from typing import NamedTuple

from benchcalc.panel.state.messages import Outcome
from benchcalc.shell import clock
from benchcalc.shell.unneeded import without

with without("numpy", "pkg_resources"):
    import pygame

RATE_HZ = 22050
LOUD = 6000
LONGEST_S = 0.2
EDGE_S = 0.008
"""In which a note swells and dies away: one that is cut off clicks."""


class Note(NamedTuple):
    """One note of a tone, and the silence after it."""

    hz: float
    for_s: float
    rest_s: float = 0.0


OUTCOMES: dict[Outcome, tuple[Note, ...]] = {
    "good": (Note(520.0, 0.13, 0.07), Note(780.0, 0.18)),
    "short": (Note(330.0, 0.6),),
    "over": (Note(1040.0, 0.11, 0.07), Note(780.0, 0.11, 0.07), Note(520.0, 0.16)),
}
"""Two that rise, one long and low, three that fall; none so high that old ears lose it, none so low
that the speaker of a small screen does."""

CARDS = Path("/proc/asound/cards")

REST_S = 20.0
"""Silence after which the sound device is given back: one that is open is fed some forty times a
second, heard or not. The next tone opens it, or tries again where it could not be opened."""


class Tones:
    """One voice that sounds one pitch or none, and another for what a bend came to."""

    def __init__(self) -> None:
        self._sounds: dict[int | Outcome, pygame.mixer.Sound] = {}
        self._now: int | None = None
        self._able: bool | None = None
        self._asked_s = 0.0

    def sound(self, hz: float | None) -> None:
        """Sound this pitch, to the nearest whole cycle of its loop, until told otherwise."""
        wanted = None if hz is None else _cycles(hz)
        if wanted == self._now or not self._ready(wanted is not None):
            return
        if self._now is not None:
            self._sounds[self._now].stop()
        self._now = wanted
        if wanted is not None:
            if wanted not in self._sounds:
                self._sounds[wanted] = pygame.mixer.Sound(buffer=_wave(wanted))
            self._sounds[wanted].play(loops=-1, fade_ms=10)

    def chime(self, outcome: Outcome) -> None:
        """Begin to sound once what a bend came to, and do not wait for its end."""
        if not self._ready(True):
            return
        if outcome not in self._sounds:
            self._sounds[outcome] = pygame.mixer.Sound(buffer=outcome_wave(outcome))
        self._sounds[outcome].play()

    def _ready(self, wanted: bool) -> bool:
        """Sound is opened when it is first wanted: a start need not wait for it."""
        if opening := self._able is None and wanted:
            self._able = os.environ.get("BENCHCALC_SOUND", "on") != "off" and _opened()
        if opening or self._able:
            self._asked_s = clock.now_s()
        return bool(self._able)

    def rest(self) -> None:
        """Look whether the sound device can be given back for now."""
        if self._able is None or self._now is not None:
            return
        if clock.now_s() - self._asked_s >= REST_S:
            self.close()
            self._able = None

    def close(self) -> None:
        """Silence, and the sound device given back."""
        if self._able:
            pygame.mixer.quit()
        self._able, self._now = False, None
        self._sounds.clear()


def _opened() -> bool:
    if not _has_card():
        return False
    try:
        pygame.mixer.init(RATE_HZ, -16, 1, 512)
    except pygame.error:
        return False
    return True


def _has_card() -> bool:
    """Whether there is a card: asked without one, the sound library prints a page of its own."""
    driver = os.environ.get("SDL_AUDIODRIVER", "alsa")
    if driver != "alsa" or "PULSE_SERVER" in os.environ or sys.platform != "linux":
        return True
    return CARDS.is_file() and "no soundcards" not in CARDS.read_text(encoding="ascii")


def _cycles(hz: float) -> int:
    """Whole cycles in one loop, so that it joins without a click."""
    return max(1, round(hz * LONGEST_S))


def _wave(cycles: int) -> bytes:
    count = round(RATE_HZ * LONGEST_S)
    samples = (round(LOUD * sin(2 * pi * cycles * i / count)) for i in range(count))
    return array.array("h", samples).tobytes()


def outcome_wave(outcome: Outcome) -> bytes:
    """The samples of what a bend came to: 16 bit, one channel, at ``RATE_HZ``."""
    samples = array.array("h")
    for note in OUTCOMES[outcome]:
        samples.extend(_note(note))
        samples.extend([0] * round(RATE_HZ * note.rest_s))
    return samples.tobytes()


def _note(note: Note) -> Iterable[int]:
    count, edge = round(RATE_HZ * note.for_s), RATE_HZ * EDGE_S
    for i in range(count):
        swell = min(1.0, i / edge, (count - 1 - i) / edge)
        yield round(LOUD * swell * sin(2 * pi * note.hz * i / RATE_HZ))
