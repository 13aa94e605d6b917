"""Rectangles by name: how a screen is divided, and the keys that are drawn the same everywhere.

Sizes follow the screen and its millimetres: a small one (under 400 pixels on its shorter side)
shows less at a time, not smaller keys; an upright one has the answer above and the keypad below.
"""

from typing import NamedTuple

from benchcalc.panel.language import decimal_sign, say
from benchcalc.panel.model import Missing, Model
from benchcalc.panel.scene import Box, Fill, Label, Picture, Polygon, Role, Scene, Shape, Target
from benchcalc.panel.settings import Hand, Settings
from benchcalc.panel.sizes import Physical, physical

SMALL_SIDE = 400
"""A screen whose shorter side has fewer pixels is a small one."""

GAP = 4.0
STATUS_LEAST_PX = 34.0
"""A trouble line is put away by a finger: it is as high as the smallest key."""


HELP_WIDE = 1.3
"""How wide the key for help is, in heights of the status line."""


class Zones(NamedTuple):
    """The places that never move: status above, answer left, keypad right, strip below."""

    status: Box
    answer: Box
    pad: Box
    strip: Box


class Canvas(NamedTuple):
    """Shapes and targets being collected for one screen; ``asks`` when it has a key for help."""

    size: tuple[int, int]
    pressed: str | None
    shapes: list[Shape | Picture]
    targets: list[Target]
    missing: tuple[Missing, ...] = ()
    hand: Hand = "right"
    measures: Physical | None = None
    asks: bool = False

    @property
    def small(self) -> bool:
        """Whether keypad and answer take turns."""
        return is_small(self.size)

    @property
    def tall(self) -> bool:
        """Whether the answer stands above the keypad, not beside it."""
        return self.size[1] > self.size[0] and not self.small

    @property
    def unit(self) -> float:
        """One line of running text, in pixels."""
        return max(20.0, min(self.size[1] / 19, self.size[0] / 18))

    def add(self, *shapes: Shape | Picture) -> None:
        """Draw shapes on top of what is there."""
        self.shapes.extend(shapes)

    def text(
        self,
        box: Box,
        text: str,
        size: float | None = None,
        role: Role = "ink",
        align: str = "left",
        lines: int = 1,
    ) -> None:
        """Write text in a box, one running line high unless a size is given."""
        self.shapes.append(Label(box, text, size or self.unit, role, align, lines))  # type: ignore[arg-type]

    def key(
        self,
        name: str,
        box: Box,
        text: str,
        role: Role = "key",
        size: float | None = None,
        edge: Role = "rule",
        lines: int = 1,
    ) -> None:
        """A key: flat, edged, lit at once while it is pressed."""
        face = box.inset(GAP / 2)
        fill: Role = "pressed" if self.pressed == name else role
        self.add(Fill(face, fill, 6.0, edge, 2.0))
        self.text(face.inset(5.0), text, size or min(face.h * 0.5, 40.0), "ink", "centre", lines)
        self.targets.append(Target(name, box))

    def arrow_key(self, name: str, box: Box, left: bool) -> None:
        """A key with an arrow drawn on it."""
        self.key(name, box, "")
        cx, cy = box.centre
        reach = min(box.w, box.h) * (-0.24 if left else 0.24)
        points = ((cx + reach, cy), (cx - reach * 0.7, cy - reach), (cx - reach * 0.7, cy + reach))
        self.add(Polygon(points, "ink"))

    def zones(self, strip: bool = True, keys: bool = True) -> Zones:
        """The places that never move; the keypad on the side of the writing hand.

        Without ``keys`` the strip need not give way to a keypad.
        """
        measures = self.measures or physical(self.size, Settings())
        return zones(measures, strip, self.hand, keys)

    @property
    def below(self) -> Box:
        """Everything under the status line."""
        top = status_height(self.size)
        return Box(0.0, top, float(self.size[0]), self.size[1] - top)

    def scene(self) -> Scene:
        """The finished screen."""
        return Scene(self.size, tuple(self.shapes), tuple(self.targets))


def canvas(model: Model) -> Canvas:
    """An empty screen for a model."""
    measures = physical(model.size, model.settings, model.told)
    hand = model.settings.hand
    return Canvas(model.size, model.pressed, [], [], model.missing, hand, measures, not model.help)


def rows(box: Box, *heights: float) -> list[Box]:
    """Divide a box from top to bottom in proportion."""
    total, y, parts = sum(heights), box.y, []
    for height in heights:
        part = box.h * height / total
        parts.append(Box(box.x, y, box.w, part))
        y += part
    return parts


def columns(box: Box, *widths: float) -> list[Box]:
    """Divide a box from left to right in proportion."""
    total, x, parts = sum(widths), box.x, []
    for width in widths:
        part = box.w * width / total
        parts.append(Box(x, box.y, part, box.h))
        x += part
    return parts


def cells(box: Box, across: int, down: int) -> list[Box]:
    """A regular grid, row by row."""
    return [cell for row in rows(box, *[1.0] * down) for cell in columns(row, *[1.0] * across)]


def status_height(size: tuple[int, int]) -> float:
    """How high the line on top of every screen is."""
    return max(STATUS_LEAST_PX, min(size[1] * 0.085, size[0] * 0.09))


def is_small(size: tuple[int, int]) -> bool:
    """Whether a screen has room for one thing at a time only."""
    return min(size) < SMALL_SIDE


def zones(measures: Physical, strip: bool = True, hand: Hand = "right", keys: bool = True) -> Zones:
    """Divide a screen. On a small one answer and keypad lie on the same place and take turns.

    The keypad has its full keys first; where that leaves no room for the strip there is none.
    """
    size = measures.px
    width, height = float(size[0]), float(size[1])
    key_w, key_h = measures.key_mm * measures.across, measures.key_mm * measures.down
    top = Box(0.0, 0.0, width, status_height(size))
    strip_h = _strip_height(size, key_h if keys else 0.0) if strip else 0.0
    middle = Box(0.0, top.h, width, height - top.h - strip_h)
    low = Box(0.0, middle.bottom, width, strip_h)
    if strip_h and not is_small(size):
        low = low.inset(4.0)
    if is_small(size):
        return Zones(top, middle, middle, low)
    if height > width:
        pad_h = max(4 * key_h, 0.5 * middle.h)
        answer, pad = rows(middle, middle.h - pad_h, pad_h)
        return Zones(top, answer.inset(6.0), pad, low)
    pad_w = max(4 * key_w, 0.46 * width)
    if hand == "left":
        pad, answer = columns(middle, pad_w, width - pad_w)
    else:
        answer, pad = columns(middle, width - pad_w, pad_w)
    return Zones(top, answer.inset(6.0), pad, low)


def _strip_height(size: tuple[int, int], key_h: float) -> float:
    """None where the keypad with its full keys leaves too little."""
    width, height = size
    if is_small(size):
        return 0.22 * height
    strip_h = 0.2 * min(width, height)
    left = height - status_height(size) - 4 * key_h - strip_h
    return strip_h if left >= (0.4 * height if height > width else 0.0) else 0.0


PAD = (
    ("7", "8", "9", "back"),
    ("4", "5", "6", "unit"),
    ("1", "2", "3", "-"),
    ("0", ".", "/", "next"),
)
"""Where every key lies, on every screen that has the keypad."""


def keypad(c: Canvas, box: Box, captions: dict[str, str], hidden: frozenset[str]) -> None:
    """The keypad; ``captions`` names the act keys, keys that cannot be used now are not there."""
    names = [name for row in PAD for name in row]
    for name, cell in zip(names, cells(box, 4, 4), strict=True):
        if name in hidden:
            continue
        act = name in ("back", "unit", "next")
        role: Role = "key_go" if name == "next" else "key_act" if act else "key"
        target = name if act else f"key {name}"
        size = min(cell.h * (0.4 if act else 0.5), 26.0 if act else 40.0)
        text = captions.get(name, {"-": "−", ".": decimal_sign()}.get(name, name))
        c.key(target, cell, text, role, size, lines=2 if act else 1)


def status_line(c: Canvas, box: Box, left: str, right: str, trouble: str = "") -> None:
    """The thin line on top: help, the job, the piece, what the machine is missing."""
    c.add(Fill(box, "sheet"))
    if c.asks:
        ask, box = columns(box, HELP_WIDE * box.h, box.w - HELP_WIDE * box.h)
        c.key("help", ask, "?", "key_act", min(0.72 * box.h, 40.0))
    inner = box.inset(5.0)
    if trouble:
        c.add(Fill(box, "alarm"))
        c.text(box.inset(2.0), trouble, (box.h - 4.0) / 2, "alarm_ink", lines=2)
        c.targets.append(Target("understood", box))
        return
    size, lines = min(inner.h, c.unit), 2 if c.small else 1
    if c.tall:
        size, lines = min(inner.h / 2, c.unit), 2
    if c.missing:
        near, far, _, lacks = columns(inner, 0.39, 0.3, 0.01, 0.3)
        _missing_key(c, Box(lacks.x, box.y, box.right - lacks.x, box.h), size)
    else:
        near, far = columns(inner, 0.68, 0.32)
    c.text(near, left, size, "quiet", "left", lines)
    c.text(far, right, size, "quiet", "right", lines)


def _missing_key(c: Canvas, box: Box, size: float) -> None:
    """What the machine lacks most, on a key that leads to the rest; the sign is a triangle."""
    c.key("machine", box, "", "key_act")
    inner = box.inset(GAP)
    x, y, reach = inner.x + inner.h * 0.5, inner.centre[1], inner.h * 0.3
    role: Role = "quiet" if c.missing[0].kind == "clock" else "alarm"
    c.add(Polygon(((x, y - reach), (x + reach, y + reach), (x - reach, y + reach)), role))
    words = Box(inner.x + inner.h, inner.y, inner.w - inner.h, inner.h)
    more = len(c.missing) - 1
    word = say(f"missing.{c.missing[0].kind}.word")
    c.text(words, say("missing.more", word=word, count=more) if more else word, size * 0.9)


def notice(c: Canvas, box: Box, word: str, says: str, role: Role, lines: int = 2) -> None:
    """A finding or refusal: a filled word with its shape, then the sentence."""
    tag_w = min(box.w * 0.22, c.unit * 4.6)
    tag = Box(box.x, box.y + 2.0, tag_w, box.h - 4.0)
    ink: Role = "alarm_ink" if role == "alarm" else "good_ink" if role == "good" else "ink"
    c.add(Fill(tag, role, 4.0, None if role in ("alarm", "good") else "ink"))
    c.text(tag.inset(3.0), word, min(c.unit, tag.h * 0.8), ink, "centre")
    rest = Box(tag.right + 8.0, box.y, box.w - tag_w - 8.0, box.h)
    c.text(rest, says, min(c.unit, box.h / lines), "ink", "left", lines)
