"""The window: what it hears, what it refuses, and a real click in a real window."""

import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator

import pygame
import pytest

from benchcalc.panel.input.touches import Down, KeyDown, KeyUp, Up
from benchcalc.report.scene import Box, Fill, Label, Scene
from benchcalc.report.settings import Rotation, Settings
from benchcalc.report.theme import DAY, NIGHT
from benchcalc.shell.display.screen import Exposed, NoScreen, QuitAsked, RawEvent, Screen

SCENE = Scene((800, 480), (Fill(Box(10, 10, 80, 60), "key", 5, "rule"),), ())


@pytest.fixture
def screen(monkeypatch: pytest.MonkeyPatch) -> Iterator[Screen]:
    monkeypatch.setenv("SDL_VIDEODRIVER", "dummy")
    opened = Screen.open(None, False, "test")
    opened.events()
    yield opened
    opened.close()


def heard(screen: Screen, *events: tuple[int, dict[str, object]]) -> list[RawEvent]:
    for kind, values in events:
        pygame.event.post(pygame.event.Event(kind, values))
    return screen.events()


def key(
    key_code: int, unicode: str = "", mod: int = 0, scancode: int = 0
) -> tuple[int, dict[str, object]]:
    values: dict[str, object] = {"key": key_code, "unicode": unicode, "mod": mod}
    return pygame.KEYDOWN, values | {"scancode": scancode}


def finger(kind: int, name: int, x: float, y: float) -> tuple[int, dict[str, object]]:
    return kind, {"touch_id": 1, "finger_id": name, "x": x, "y": y, "dx": 0.0, "dy": 0.0}


def test_left_button_only(screen: Screen) -> None:
    got = heard(
        screen,
        (pygame.MOUSEBUTTONDOWN, {"button": 3, "pos": (5, 5)}),
        (pygame.MOUSEBUTTONDOWN, {"button": 1, "pos": (12, 34)}),
        (pygame.MOUSEBUTTONUP, {"button": 1, "pos": (13, 35)}),
        (pygame.MOUSEBUTTONDOWN, {"button": 4, "pos": (5, 5)}),
        (pygame.MOUSEBUTTONDOWN, {"button": 1, "pos": (1, 1), "touch": True}),
    )
    assert got == [Down(12, 34), Up(13, 35)]


def test_fingers_have_numbers_and_stay_inside_the_screen(screen: Screen) -> None:
    got = heard(
        screen,
        finger(pygame.FINGERDOWN, 7, 0.5, 0.5),
        finger(pygame.FINGERDOWN, 8, 0.1, 0.1),
        finger(pygame.FINGERUP, 8, 0.1, 0.1),
        finger(pygame.FINGERUP, 7, 1.3, -0.2),
        finger(pygame.FINGERDOWN, 9, 1.0, 1.0),
    )
    assert got == [
        Down(400, 240, 7), Down(80, 48, 8), Up(80, 48, 8), Up(799, 0, 7), Down(799, 479, 9)
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("event", "name"),
    [
        (key(pygame.K_RETURN, "\r"), "enter"),
        (key(pygame.K_BACKSPACE, "\b"), "back"),
        (key(pygame.K_DELETE, "\x7f"), "delete"),
        (key(pygame.K_TAB, "\t"), "tab"),
        (key(pygame.K_TAB, "\t", pygame.KMOD_LSHIFT), "shift tab"),
        (key(pygame.K_z, "\x1a", pygame.KMOD_LCTRL), "undo"),
        (key(pygame.K_ESCAPE, "\x1b"), "escape"),
        (key(pygame.K_LEFT), "left"),
        (key(pygame.K_5, "5"), "5"),
        (key(pygame.K_SLASH, "/"), "/"),
        (key(pygame.K_QUOTE, "ä"), "ä"),
        (key(pygame.K_COMMA, ","), ","),
        # USB HID usage tables, keyboard page 07h: keypad / 84, * 85, - 86, + 87, Enter 88, 1 to 9
        # from 89
        (key(pygame.K_KP_ENTER, "\r", scancode=88), "enter"),
        (key(pygame.K_KP7, "7", scancode=95), "7"),
        (key(pygame.K_HOME, "", scancode=95), "7"),
        (key(pygame.K_KP0, "0", scancode=98), "0"),
        (key(pygame.K_KP_PERIOD, ",", scancode=99), "."),
        (key(pygame.K_KP_DIVIDE, "/", scancode=84), "/"),
        (key(pygame.K_KP_MINUS, "-", scancode=86), "-"),
        (key(pygame.K_KP_MULTIPLY, "*", scancode=85), "left"),
        (key(pygame.K_KP_PLUS, "+", scancode=87), "right"),
    ],
)
def test_keys_have_their_names(
    screen: Screen, event: tuple[int, dict[str, object]], name: str
) -> None:
    code = event[1]["scancode"]
    assert heard(screen, event) == [KeyDown(name, int(str(code)))]
    assert heard(screen, (pygame.KEYUP, event[1])) == [KeyUp(int(str(code)))]


def test_keys_that_say_nothing(screen: Screen) -> None:
    silent = [
        key(pygame.K_LSHIFT),
        key(pygame.K_PAUSE),
        key(pygame.K_c, "\x03", pygame.KMOD_LCTRL),
        key(pygame.K_x, "x", pygame.KMOD_LALT),
    ]
    assert heard(screen, *silent) == []


def test_ways_to_end(screen: Screen) -> None:
    asked = [QuitAsked(), QuitAsked()]
    quit_key = key(pygame.K_q, "\x11", pygame.KMOD_LCTRL)
    assert heard(screen, (pygame.QUIT, {}), quit_key) == asked


def test_sigterm_asks_to_end() -> None:
    code = (
        "import os, signal, time\n"
        "from benchcalc.shell.display.screen import Screen\n"
        "screen = Screen.open(None, False, 'test')\n"
        "os.kill(os.getpid(), signal.SIGTERM)\n"
        "time.sleep(0.05)\n"
        "print(screen.events()[-1])\n"
    )
    env = os.environ | {"SDL_VIDEODRIVER": "dummy"}
    done = subprocess.run([sys.executable, "-c", code], env=env, capture_output=True, text=True)
    assert (done.returncode, done.stdout) == (0, "QuitAsked()\n")
    assert signal.getsignal(signal.SIGTERM) is signal.SIG_DFL  # not ours to change in here


def test_a_blind_driver_is_no_screen(monkeypatch: pytest.MonkeyPatch) -> None:
    pygame.display.quit()
    for name in ("DISPLAY", "WAYLAND_DISPLAY"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("SDL_VIDEODRIVER", "dummy")
    monkeypatch.setattr(pygame.display, "get_driver", lambda: "offscreen")
    with pytest.raises(NoScreen, match=r"offscreen, shows nothing.*benchcalc sheet"):
        Screen.open(None, False, "test")
    assert not pygame.display.get_init()


def test_a_driver_that_fails_is_no_screen(monkeypatch: pytest.MonkeyPatch) -> None:
    pygame.display.quit()
    monkeypatch.setenv("SDL_VIDEODRIVER", "x11")
    monkeypatch.setenv("DISPLAY", ":7777")
    with pytest.raises(NoScreen, match="no usable screen"):
        Screen.open(None, False, "test")


def test_on_a_bench_it_says_where_to_look(monkeypatch: pytest.MonkeyPatch) -> None:
    pygame.display.quit()
    monkeypatch.setenv("SDL_VIDEODRIVER", "kmsdrm")
    with pytest.raises(NoScreen, match=r"no usable screen .* benchcalc device says"):
        Screen.open(None, False, "test")


def test_an_equal_scene_is_not_painted_again(
    screen: Screen, monkeypatch: pytest.MonkeyPatch
) -> None:
    shown: list[int] = []
    monkeypatch.setattr(pygame.display, "flip", lambda: shown.append(1))
    screen.paint(SCENE)
    screen.paint(SCENE._replace(targets=()))
    assert len(shown) == 1
    assert heard(screen, (pygame.VIDEOEXPOSE, {})) == [Exposed()]
    screen.paint(SCENE)
    assert len(shown) == 2
    screen.apply_settings(Settings(theme="night"))
    screen.paint(SCENE)
    assert len(shown) == 3
    surface = pygame.display.get_surface()
    assert surface is not None
    assert surface.get_at((50, 40)) == pygame.Color(*NIGHT["key"])


def test_misfits_are_those_of_the_scene_on_the_screen(screen: Screen) -> None:
    label = Label(Box(0, 0, 20, 20), "Let go and wait", 18)
    screen.paint(SCENE._replace(shapes=(label,)))
    assert screen.misfits == [label]
    screen.paint(SCENE)
    assert screen.misfits == []


CLICKED = """
import time
import pygame
from benchcalc.report.scene import Box, Fill, Scene
from benchcalc.shell.display.screen import Screen
screen = Screen.open((320, 200), False, "click here")
screen.paint(Scene((320, 200), (Fill(Box(0, 0, 320, 200), "alarm"),), ()))
print(pygame.display.get_wm_info()["window"], flush=True)
end = time.monotonic() + 10
while time.monotonic() < end:
    for event in screen.events():
        print(event, flush=True)
        if type(event).__name__ == "QuitAsked":
            raise SystemExit
    time.sleep(0.01)
"""


@pytest.fixture
def x_display() -> Iterator[dict[str, str]]:
    if not (shutil.which("Xvfb") and shutil.which("xdotool")):
        pytest.skip("Xvfb and xdotool are not installed: no real window to click in")
    command = ["Xvfb", "-screen", "0", "640x480x24", "-nolisten", "tcp", "-displayfd", "1"]
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True
    ) as server:
        assert server.stdout is not None
        env = {
            k: v for k, v in os.environ.items() if k not in ("SDL_VIDEODRIVER", "WAYLAND_DISPLAY")
        }
        yield env | {"DISPLAY": f":{server.stdout.readline().strip()}"}
        server.terminate()


def test_a_real_click_and_real_keys(x_display: dict[str, str]) -> None:
    def xdotool(*words: str) -> None:
        subprocess.run(["xdotool", *words], env=x_display, check=True, timeout=5)

    with subprocess.Popen(
        [sys.executable, "-c", CLICKED], env=x_display, stdout=subprocess.PIPE, text=True
    ) as window:
        assert window.stdout is not None
        number = window.stdout.readline().strip()
        xdotool("windowfocus", number)
        xdotool("mousemove", "--window", number, "123", "45")
        xdotool("click", "1")
        xdotool("key", "7", "KP_Enter", "ctrl+q")
        out, _ = window.communicate(timeout=15)
    lines = [line for line in out.splitlines() if line != "Exposed()"]
    # scancodes of USB's keyboard page: 7 is 36, the keypad's Enter 88, Ctrl 224, q 20
    wanted = [
        Down(123, 45),
        Up(123, 45),
        KeyDown("7", 36),
        KeyUp(36),
        KeyDown("enter", 88),
        KeyUp(88),
    ]
    assert lines == [str(event) for event in (*wanted, QuitAsked())]


ASKED = "SDL_FRAMEBUFFER_ACCELERATION"
SHOWN = """
from pathlib import Path
from benchcalc.report.scene import Box, Fill, Scene
from benchcalc.shell.display.screen import Screen
screen = Screen.open((320, 200), False, "plain")
screen.paint(Scene((320, 200), (Fill(Box(0, 0, 320, 200), "alarm"),), ()))
print("libGL" in Path("/proc/self/maps").read_text())
"""


@pytest.mark.parametrize(("asked", "loaded"), [({}, "False"), ({ASKED: "opengl"}, "True")])
def test_a_window_of_x_needs_no_opengl(
    x_display: dict[str, str], asked: dict[str, str], loaded: str
) -> None:
    env = x_display | asked
    ran = subprocess.run([sys.executable, "-c", SHOWN], env=env, capture_output=True, text=True)
    assert ran.stdout.split() == [loaded], ran.stderr


def test_day_is_what_a_screen_wears_at_first(screen: Screen) -> None:
    assert screen.painter.theme is DAY


@pytest.mark.parametrize("rotation", [0, 90, 180, 270])
def test_a_turned_picture_is_touched_where_it_is_seen(screen: Screen, rotation: Rotation) -> None:
    """The touched pixel of the screen shows the colour that the picture has under the finger."""
    screen.apply_settings(Settings(rotation=rotation))
    assert screen.size == ((480, 800) if rotation % 180 else (800, 480))
    width = screen.size[0]
    spot = Fill(Box(width - 60, 20, 40, 30), "alarm")
    screen.paint(Scene(screen.size, (spot,), ()))
    shown = pygame.display.get_surface()
    lit = pygame.mask.from_threshold(shown, DAY["alarm"], (1, 1, 1))
    assert lit.count() == 40 * 30
    x, y = lit.centroid()
    got = heard(screen, (pygame.MOUSEBUTTONDOWN, {"button": 1, "pos": (x, y)}))
    got += heard(screen, finger(pygame.FINGERDOWN, 1, (x + 0.5) / 800, (y + 0.5) / 480))
    for down in got:
        assert isinstance(down, Down)
        assert spot.box.holds(down.x, down.y)
    assert len(got) == 2
    corner = {0: (799, 0), 90: (799, 479), 180: (0, 479), 270: (0, 0)}[rotation]
    assert heard(screen, (pygame.MOUSEBUTTONDOWN, {"button": 1, "pos": corner})) == [
        Down(width - 1, 0)
    ]
