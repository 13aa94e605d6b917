"""`python -m tests.screens.table`: what every size of screen asks of fingers and eyes."""

from dataclasses import replace

from benchcalc.panel.model import Model
from benchcalc.panel.settings import Settings
from benchcalc.panel.sizes import physical
from benchcalc.panel.theme import THEMES
from tests.screens.measures import Seen, seen
from tests.screens.states import STATES, Size, state

SIZES: tuple[Size, ...] = (
    (480, 320), (800, 480), (1024, 600), (1280, 800), (480, 800), (720, 1280),
)  # fmt: skip


def worst(size: Size, settings: Settings) -> Seen:
    """The least of all screens of one size."""
    found = [seen(dressed(name, size, settings), THEMES[settings.theme]) for name in STATES]
    key, text = min(found, key=lambda s: s.key_mm), min(found, key=lambda s: s.text_arcmin)
    return Seen(
        min(s.pad_mm for s in found), key.key_mm, key.key, text.text_arcmin, text.text,
        min(s.contrast for s in found),
    )  # fmt: skip


def dressed(name: str, size: Size, settings: Settings) -> Model:
    """A state in other colours or for the other hand; what was measured of its screen stays."""
    model = state(name, size)
    return replace(
        model,
        settings=replace(model.settings, theme=settings.theme, hand=settings.hand),
    )


def row(size: Size, found: Seen) -> str:
    wide, high = physical(size, Settings()).mm
    return (
        f"{size[0]:>4} x {size[1]:<4} {wide:4.0f} x {high:<4.0f}  {found.pad_mm:5.1f}   "
        f"{found.key_mm:5.1f} {found.key:14.14} {found.text_arcmin:5.1f} {found.text:20.20} "
        f"{found.contrast:5.1f}"
    )


HEAD = "pixels      mm         digits mm  least key          arcmin, least text          contrast"


def table() -> list[str]:
    """A line for each size, its worst screen by day."""
    return [HEAD, *(row(size, worst(size, Settings())) for size in SIZES)]


if __name__ == "__main__":
    print("\n".join(table()))
