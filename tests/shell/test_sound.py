"""Tones with SDL's dummy sound device: what is asked for sounds, and nothing is opened before."""

import subprocess
import sys

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


def heard(**environment: str) -> str:
    env = {"SDL_AUDIODRIVER": "dummy", "PYGAME_HIDE_SUPPORT_PROMPT": "1", **environment}
    done = subprocess.run(
        [sys.executable, "-c", SCRIPT], capture_output=True, text=True, env=env, check=True
    )
    return done.stdout.strip()


def test_a_tone_sounds_when_it_is_asked_for_and_not_before() -> None:
    assert heard() == "False True True False"


def test_sound_can_be_switched_off() -> None:
    assert heard(BENCHCALC_SOUND="off") == "False False False False"
