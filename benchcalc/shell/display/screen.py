"""The panel's window: opens it, hears fingers, mouse and keys, and puts scenes on it.

Only this file and ``paint`` import pygame; they keep to what pygame 2.1.2 has.
"""

import os
from typing import NamedTuple, Self

os.environ.setdefault("PYGAME_HIDE_SUPPORT_PROMPT", "1")

from benchcalc.panel.input.touches import Down, KeyDown, KeyUp, Touch, Up
from benchcalc.panel.state.messages import Outcome
from benchcalc.report.scene import Label, Scene
from benchcalc.report.settings import Rotation, Settings
from benchcalc.report.theme import DAY, THEMES, Theme
from benchcalc.shell.display.paint import Painter
from benchcalc.shell.sound import Tones
from benchcalc.shell.unneeded import without

with without("numpy", "pkg_resources"):
    import pygame

BLIND_DRIVERS = frozenset({"offscreen", "dummy", "evdev"})
"""Video drivers of SDL that open without an error and show nothing."""

BARE_DRIVER = "kmsdrm"
"""SDL's way to a screen without a desktop."""

WINDOW_SIZE = (800, 480)

CTRL_ALT_META = pygame.KMOD_CTRL | pygame.KMOD_LALT | pygame.KMOD_META

KEY_NAMES = {
    pygame.K_RETURN: "enter",
    pygame.K_BACKSPACE: "back",
    pygame.K_DELETE: "delete",
    pygame.K_TAB: "tab",
    pygame.K_LEFT: "left",
    pygame.K_RIGHT: "right",
    pygame.K_UP: "up",
    pygame.K_DOWN: "down",
    pygame.K_ESCAPE: "escape",
    pygame.K_F1: "help",
    **{pygame.K_F2 + number: f"f{2 + number}" for number in range(11)},
}

# By place on the keypad (usage numbers of the USB keyboard page), not by what the keyboard layout
# prints: a keypad's decimal key is a comma in half of Europe, and without Num Lock 7 is Home. With
# Num Lock it has no arrows; its times and plus, which no field takes, walk from key to key.
KEYPAD_NAMES = {
    84: "/",
    85: "left",
    86: "-",
    87: "right",
    88: "enter",
    **{88 + digit: str(digit) for digit in range(1, 10)},
    98: "0",
    99: ".",
    133: ".",
}


class NoScreen(Exception):
    """There is no screen to draw on; the text is a sentence for the operator."""


class QuitAsked(NamedTuple):
    """Window closed, Ctrl+Q, or SIGTERM."""


class Exposed(NamedTuple):
    """The window lost its pixels: paint again."""


RawEvent = Touch | QuitAsked | Exposed


class Screen:
    """The one window."""

    def __init__(self, surface: pygame.Surface, theme: Theme) -> None:
        self._surface = surface
        self._turned: Rotation = 0
        self._upright = surface
        self.painter = Painter(theme)
        self._last: Scene | None = None
        self._tones = Tones()

    @classmethod
    def open(
        cls,
        size: tuple[int, int] | None,
        fullscreen: bool,
        title: str,
        theme: Theme = DAY,
    ) -> Self:
        """Open the window, or take the whole screen. NoScreen when nothing would be seen."""
        os.environ["SDL_TOUCH_MOUSE_EVENTS"] = "0"
        os.environ["SDL_MOUSE_TOUCH_EVENTS"] = "0"
        # SDL asks Wayland first, whose library prints a line of its own where this is not set
        os.environ.setdefault("XDG_RUNTIME_DIR", "/nonexistent")
        try:
            pygame.display.init()
            driver = pygame.display.get_driver().lower()
            _refuse_blind(driver)
            if driver == "x11":
                # Else SDL shows it through OpenGL, often in software: 1.5 ms a frame, not 0.1.
                os.environ.setdefault("SDL_FRAMEBUFFER_ACCELERATION", "0")
            pygame.display.set_caption(title)
            surface = _full(driver, size) if fullscreen else _window(size)
        except pygame.error as error:
            pygame.display.quit()
            raise NoScreen(_no_screen(str(error))) from error
        pygame.key.set_repeat()
        pygame.event.set_blocked((pygame.MOUSEMOTION, pygame.FINGERMOTION))
        pygame.mouse.set_visible(not (fullscreen and driver == BARE_DRIVER))
        return cls(surface, theme)

    @property
    def size(self) -> tuple[int, int]:
        """Width and height in pixels, as the picture is seen."""
        return self._upright.get_size()

    @property
    def bare(self) -> bool:
        """Whether there is no desktop between us and the screen."""
        return pygame.display.get_driver().lower() == BARE_DRIVER

    @property
    def misfits(self) -> list[Label]:
        """The labels of the last scene that did not fit their boxes."""
        return self.painter.misfits(self._last) if self._last else []

    def apply_settings(self, settings: Settings) -> None:
        """Take colours and rotation from the settings; the next paint draws everything anew.

        A console without a desktop cannot turn its picture, so it is turned here: the scene is
        drawn upright on a surface of its own and turned clockwise onto the screen.
        """
        theme = THEMES[settings.theme]
        if theme is not self.painter.theme:
            self.painter = Painter(theme)
        if settings.rotation != self._turned:
            self._turned = settings.rotation
            width, height = self._surface.get_size()
            seen = (height, width) if self._turned % 180 else (width, height)
            self._upright = pygame.Surface(seen, 0, 32) if self._turned else self._surface
        self._last = None

    def paint(self, scene: Scene) -> None:
        """Show a scene: what differs from the one that is on the screen."""
        if scene == self._last:
            return
        if self._last is None:
            self.painter.draw(self._upright, scene)
            changed = None
        else:
            changed = self.painter.redraw(self._upright, self._last, scene)
        if self._turned and changed != []:
            self._surface.blit(pygame.transform.rotate(self._upright, -self._turned), (0, 0))
            pygame.display.flip()
        elif changed is None:
            pygame.display.flip()
        elif changed:
            pygame.display.update(changed)
        self._last = scene

    def tone(self, hz: float | None) -> None:
        """Sound a pitch until told otherwise; None is silence."""
        self._tones.sound(hz)

    def chime(self, outcome: Outcome) -> None:
        """Sound once what a bend came to."""
        self._tones.chime(outcome)

    def close(self) -> None:
        """Give the screen back, and the sound."""
        self._tones.close()
        pygame.display.quit()

    def events(self) -> list[RawEvent]:
        """What came in since the last call; never waits."""
        self._tones.rest()
        heard = [self._heard(event) for event in pygame.event.get()]
        return [raw for raw in heard if raw is not None]

    def _heard(self, event: pygame.event.Event) -> RawEvent | None:
        if event.type in (pygame.MOUSEBUTTONDOWN, pygame.MOUSEBUTTONUP):
            return self._moused(event)
        if event.type in (pygame.FINGERDOWN, pygame.FINGERUP):
            return self._touched(event)
        if event.type == pygame.KEYDOWN:
            return _key(event)
        if event.type == pygame.KEYUP:
            return KeyUp(getattr(event, "scancode", 0))
        if event.type == pygame.QUIT:
            return QuitAsked()
        if event.type in (pygame.VIDEOEXPOSE, pygame.WINDOWEXPOSED):
            self._last = None
            return Exposed()
        return None

    def _touched(self, event: pygame.event.Event) -> RawEvent:
        """Inside the screen whatever the digitiser says."""
        width, height = self._surface.get_size()
        left = min(max(int(event.x * width), 0), width - 1)
        top = min(max(int(event.y * height), 0), height - 1)
        kind = Down if event.type == pygame.FINGERDOWN else Up
        return kind(*self._seen_at(left, top), event.finger_id)

    def _moused(self, event: pygame.event.Event) -> RawEvent | None:
        if event.button != 1 or getattr(event, "touch", False):
            return None
        x, y = self._seen_at(*event.pos)
        return Down(x, y) if event.type == pygame.MOUSEBUTTONDOWN else Up(x, y)

    def _seen_at(self, x: int, y: int) -> tuple[int, int]:
        """A pixel of the screen as a pixel of the picture, which may be turned on it."""
        width, height = self._surface.get_size()
        if self._turned == 90:
            return (y, width - 1 - x)
        if self._turned == 180:
            return (width - 1 - x, height - 1 - y)
        return (height - 1 - y, x) if self._turned == 270 else (x, y)


def _refuse_blind(driver: str) -> None:
    asked = os.environ.get("SDL_VIDEODRIVER", "").lower().split(",")
    if driver in BLIND_DRIVERS and driver not in asked:
        raise pygame.error(f"the only video driver found, {driver}, shows nothing")


def _no_screen(reason: str) -> str:
    """What to do: on a bench, where SDL's reason may be of another matter, and elsewhere."""
    if os.environ.get("SDL_VIDEODRIVER") == BARE_DRIVER:
        return (
            f"no usable screen ({reason}): connect one and start the machine anew; "
            "benchcalc device says which it sees"
        )
    return (
        f"no usable screen ({reason}): start benchcalc where there is a display, "
        "or work without one by: benchcalc sheet JOB"
    )


def _window(size: tuple[int, int] | None) -> pygame.Surface:
    return pygame.display.set_mode(size or WINDOW_SIZE)


def _full(driver: str, size: tuple[int, int] | None) -> pygame.Surface:
    """SCALED on a bare console only: there a plain surface reports success and stays black.

    Elsewhere it would put a renderer, and often a slow one, between us and the screen.
    """
    flags = pygame.FULLSCREEN
    if driver == BARE_DRIVER:
        os.environ.setdefault("SDL_RENDER_DRIVER", "opengles2")
        flags |= pygame.SCALED
    return pygame.display.set_mode(size or pygame.display.get_desktop_sizes()[0], flags)


def _key(event: pygame.event.Event) -> RawEvent | None:
    if event.mod & pygame.KMOD_CTRL and event.key == pygame.K_q:
        return QuitAsked()
    code = getattr(event, "scancode", 0)
    name = KEYPAD_NAMES.get(code) or KEY_NAMES.get(event.key)
    if name == "tab" and event.mod & pygame.KMOD_SHIFT:
        name = "shift tab"
    if event.mod & pygame.KMOD_CTRL and event.key == pygame.K_z:
        name = "undo"
    if name is None and event.unicode.isprintable() and not event.mod & CTRL_ALT_META:
        name = event.unicode
    return KeyDown(name, code) if name else None
