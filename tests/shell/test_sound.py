"""Tones with SDL's dummy sound device: what is asked for sounds, and nothing is opened before."""

import array
import subprocess
import sys
from itertools import pairwise

import pytest

from benchcalc.panel.state.messages import Outcome
from benchcalc.shell.sound import LOUD, OUTCOMES, RATE_HZ, outcome_wave

SCRIPT = """
import pygame
from benchcalc.shell.sound import Tones

tones = Tones()
tones.sound(None)
print(pygame.mixer.get_init() is not None, end=" ")
tones.sound(440.0)
able = bool(pygame.mixer.get_init())
print(able, able and pygame.mixer.get_busy(), end=" ")
tones.sound(None)
pygame.time.wait(50)
print(able and pygame.mixer.get_busy())
tones.close()
"""


def heard(script: str = SCRIPT, **environment: str) -> str:
    env = {"SDL_AUDIODRIVER": "dummy", "PYGAME_HIDE_SUPPORT_PROMPT": "1", **environment}
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, env=env, check=True
    )
    return done.stdout.strip()


def test_a_tone_sounds_when_it_is_asked_for_and_not_before() -> None:
    assert heard() == "False True True False"


def test_sound_can_be_switched_off() -> None:
    assert heard(BENCHCALC_SOUND="off") == "False False False False"


RESTS = """
import pygame
from benchcalc.shell import clock
from benchcalc.shell.sound import REST_S, Tones

now_s = 0.0
clock.now_s = lambda: now_s
tones, said = Tones(), []
def rested(at_s):
    global now_s
    now_s = at_s
    tones.rest()
    said.append(pygame.mixer.get_init() is not None)
tones.sound(440.0)
rested(2 * REST_S)  # a long tone is no rest
tones.sound(None)
rested(2.9 * REST_S)
rested(3 * REST_S)
tones.chime("good")
rested(3.1 * REST_S)
print(*said, pygame.mixer.get_busy())
"""


def test_the_device_is_given_back_in_silence_and_opened_again() -> None:
    assert heard(RESTS) == "True True False True True"


TRIES = """
from benchcalc.shell import clock, sound

now_s, opened = 0.0, []
clock.now_s = lambda: now_s
sound._opened = lambda: opened.append(now_s) or False
tones = sound.Tones()
for now_s in (0.0, 1.0, sound.REST_S, sound.REST_S + 1):
    tones.rest()
    tones.chime("good")
print(*opened)
"""


def test_a_device_that_could_not_be_opened_is_tried_again_in_a_while() -> None:
    assert heard(TRIES) == "0.0 20.0"


def notes(outcome: Outcome) -> list[tuple[float, float]]:
    """Frequency and length of each note, measured: where the wave crosses zero, upwards."""
    samples = array.array("h", outcome_wave(outcome))
    loud = [i for i, sample in enumerate(samples) if sample]
    starts = [0, *(n for n in range(1, len(loud)) if loud[n] - loud[n - 1] > RATE_HZ * 0.03)]
    found = []
    for start, end in pairwise([*starts, len(loud)]):
        first, last = loud[start], loud[end - 1]
        rises = [i + samples[i] / (samples[i] - samples[i + 1]) for i in range(first, last)
                 if samples[i] < 0 <= samples[i + 1]]  # fmt: skip
        hz = RATE_HZ * (len(rises) - 1) / (rises[-1] - rises[0])
        found.append((hz, (last - first) / RATE_HZ))
    return found


def test_outcomes_differ_in_rhythm_and_in_pitch() -> None:
    """Whoever hears no pitch counts notes: two, one long, three. None is mistaken for a click."""
    good, short, over = notes("good"), notes("short"), notes("over")
    assert (len(good), len(short), len(over)) == (2, 1, 3)
    assert good[1][0] > 1.3 * good[0][0]
    assert over[0][0] > 1.3 * over[1][0] and over[1][0] > 1.3 * over[2][0]
    assert short[0][0] < min(hz for hz, _ in (*good, *over)) / 1.3
    assert short[0][1] > 2.5 * max(long for _, long in (*good, *over))
    for outcome in OUTCOMES:
        measured = notes(outcome)
        for (hz, long), note in zip(measured, OUTCOMES[outcome], strict=True):
            assert hz == pytest.approx(note.hz, rel=0.005)
            assert long == pytest.approx(note.for_s, abs=0.005)
        assert min(measured)[0] > 300 and max(measured)[0] < 1200
        assert sum(note.for_s + note.rest_s for note in OUTCOMES[outcome]) < 0.8


def test_a_tone_is_loud_and_begins_and_ends_without_a_click() -> None:
    for outcome in OUTCOMES:
        samples = array.array("h", outcome_wave(outcome))
        assert 0.95 * LOUD < max(samples) <= LOUD and abs(samples[0]) + abs(samples[-1]) == 0
        assert max(abs(a - b) for a, b in pairwise(samples)) < LOUD * 0.35


CHIME_SCRIPT = """
import time, pygame
from benchcalc.shell.sound import Tones

tones = Tones()
tones.chime("good")
begun = time.monotonic()
for outcome in ("short", "over", "good"):
    tones.chime(outcome)
print(time.monotonic() - begun < 0.2, bool(pygame.mixer.get_init()), end=" ")
print(bool(pygame.mixer.get_init()) and pygame.mixer.get_busy(), end=" ")
pygame.time.wait(900)
print(bool(pygame.mixer.get_init()) and pygame.mixer.get_busy())
tones.close()
"""


def test_a_tone_for_an_outcome_plays_once_while_the_program_goes_on() -> None:
    assert heard(CHIME_SCRIPT) == "True True True False"
    assert heard(CHIME_SCRIPT, BENCHCALC_SOUND="off") == "True False False False"
