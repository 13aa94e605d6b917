"""Short tones, made by code: while pulling the pitch says how near the angle is.

A machine without sound, or one where it is switched off by BENCHCALC_SOUND=off, stays silent; the
panel says the same on the screen.
"""

import array
import os
import sys
from math import pi, sin
from pathlib import Path

from benchcalc.shell.unneeded import without

with without("numpy", "pkg_resources"):
    import pygame

RATE_HZ = 22050
LOUD = 6000
LONGEST_S = 0.2
CARDS = Path("/proc/asound/cards")


class Tones:
    """One voice that sounds one pitch or none."""

    def __init__(self) -> None:
        self._sounds: dict[int, pygame.mixer.Sound] = {}
        self._now: int | None = None
        self._able: bool | None = None

    def sound(self, hz: float | None) -> None:
        """Sound this pitch, to the nearest whole cycle of its loop, until told otherwise."""
        wanted = None if hz is None else _cycles(hz)
        if wanted == self._now or not self._ready(wanted):
            return
        if self._now is not None:
            self._sounds[self._now].stop()
        self._now = wanted
        if wanted is not None:
            if wanted not in self._sounds:
                self._sounds[wanted] = pygame.mixer.Sound(buffer=_wave(wanted))
            self._sounds[wanted].play(loops=-1, fade_ms=10)

    def _ready(self, wanted: int | None) -> bool:
        """Sound is opened when it is first wanted: a start need not wait for it."""
        if self._able is None and wanted is not None:
            self._able = os.environ.get("BENCHCALC_SOUND", "on") != "off" and _opened()
        return bool(self._able)

    def close(self) -> None:
        """Silence, and the sound device given back."""
        if self._able:
            pygame.mixer.quit()
        self._able, self._now = False, None


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
    named = "SDL_AUDIODRIVER" in os.environ or "PULSE_SERVER" in os.environ
    if named or sys.platform != "linux":
        return True
    return CARDS.is_file() and "no soundcards" not in CARDS.read_text(encoding="ascii")


def _cycles(hz: float) -> int:
    """Whole cycles in one loop, so that it joins without a click."""
    return max(1, round(hz * LONGEST_S))


def _wave(cycles: int) -> bytes:
    count = round(RATE_HZ * LONGEST_S)
    samples = (round(LOUD * sin(2 * pi * cycles * i / count)) for i in range(count))
    return array.array("h", samples).tobytes()
