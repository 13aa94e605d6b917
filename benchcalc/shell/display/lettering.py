"""Text into pixels: Source Sans in two weights, the same on every machine.

Regular for words, heavy for what is pressed or read from a metre. Its figures are all of one
width, and 1 and 7, 6 and 8, 0 and O are told apart. The package that carries it names its licence,
the SIL Open Font License 1.1.
"""

from functools import lru_cache
from importlib.util import find_spec
from math import ceil
from pathlib import Path

from benchcalc.report.scene import CAPITAL_PART, Label
from benchcalc.report.text_fit import Fitted, fit
from benchcalc.report.theme import Rgb
from benchcalc.shell.unneeded import without

with without("numpy", "pkg_resources"):
    import pygame
    import pygame.font

PACKAGE = "font_source_sans_pro"
REGULAR, HEAVY = "SourceSansPro-Regular.ttf", "SourceSansPro-Semibold.ttf"

CAPITAL_OF_FONT = 0.66
"""Height of a capital as a part of the size that the font is opened with (its own table)."""

SMALL_PX = 48
"""Text smaller than this is set at twice its size and averaged down: at its own, whole-pixel steps
space its letters unevenly."""


def _folder() -> Path:
    """Where the fonts lie; their package is looked for, not run. ImportError where it is not."""
    found = find_spec(PACKAGE)
    if found is None or found.origin is None:
        raise ImportError(f"No module named '{PACKAGE}'", name=PACKAGE)
    return Path(found.origin).parent / "files"


FONTS = _folder()


@lru_cache(maxsize=48)
def _font(size_px: int, heavy: bool) -> pygame.font.Font:
    """A font whose capitals stand ``CAPITAL_PART`` of the size high."""
    pygame.font.init()
    path = FONTS / (HEAVY if heavy else REGULAR)
    return pygame.font.Font(str(path), max(1, round(size_px * CAPITAL_PART / CAPITAL_OF_FONT)))


def _drawable(text: str) -> str:
    """pygame 2.1.2 refuses characters above U+FFFF with an error."""
    return "".join(c if c <= "\uffff" else "?" for c in text)


def _fine(size_px: int) -> int:
    return 2 if size_px < SMALL_PX else 1


def fitted(label: Label) -> Fitted:
    """A label's text broken and sized to its box, by the width of the letters."""
    heavy = label.heavy
    return fit(label, lambda text, size_px: width(text, size_px, heavy))


@lru_cache(maxsize=4096)
def width(text: str, size_px: int, heavy: bool) -> float:
    """The width of a text, in pixels."""
    fine = _fine(size_px)
    return _font(size_px * fine, heavy).size(_drawable(text))[0] / fine


def lettered(text: str, size_px: int, heavy: bool, colour: Rgb) -> tuple[pygame.Surface, int]:
    """The text, and how far its baseline lies under the top of the surface.

    An accent pushes the baseline down in some versions of the font library; the pixels tell.
    """
    fine = _fine(size_px)
    font, drawn = _font(size_px * fine, heavy), _drawable(text)
    large = font.render(drawn, True, colour)
    tallest = max((m[3] for m in font.metrics(drawn) if m), default=0)
    rise = large.get_bounding_rect().top + tallest
    if fine == 1:
        return large, rise
    above = -rise % fine  # puts the baseline between two pixels of the smaller text
    size = (ceil(large.get_width() / fine), ceil((large.get_height() + above) / fine))
    canvas = pygame.Surface((size[0] * fine, size[1] * fine), pygame.SRCALPHA, 32)
    canvas.fill((*colour, 0))
    canvas.blit(large, (0, above))
    return pygame.transform.smoothscale(canvas, size), (rise + above) // fine
