"""Rectangles by name: how a screen is divided, and the keys that are drawn the same everywhere.

Sizes follow the screen's millimetres: a key has room for a gloved finger and running text a height
that is read from where the operator stands. A small screen shows less at a time, not smaller keys;
an upright one has the answer above and the keypad below.
"""

from typing import NamedTuple

from benchcalc.panel.state.action import Action
from benchcalc.panel.state.missing import Missing
from benchcalc.panel.state.model import Model
from benchcalc.panel.state.over import HelpShown
from benchcalc.panel.widgets import flowing
from benchcalc.panel.widgets.flowing import text_width
from benchcalc.panel.widgets.sizes import Physical, physical
from benchcalc.report.scene import (
    Box,
    Fill,
    Label,
    Picture,
    Polygon,
    Role,
    Scene,
    Shape,
    Target,
)
from benchcalc.report.settings import Hand

GAP = 4.0
HEAVY_FROM = 1.15
"""Text larger than this, in running lines, is a number or an act."""

LETTER_PART = 0.55
"""Width of a letter with what follows it, as a part of the text size; of the panel's own font."""


class Zones(NamedTuple):
    """The places that never move: status above, answer left, keypad right, strip below."""

    status: Box
    answer: Box
    pad: Box
    strip: Box


class Canvas(NamedTuple):
    """Shapes and targets being collected for one screen; ``asks`` when it has a key for help."""

    size: tuple[int, int]
    shapes: list[Shape | Picture]
    targets: list[Target]
    measures: Physical
    missing: tuple[Missing, ...] = ()
    hand: Hand = "right"
    asks: bool = False
    unseen: list[Target] | None = None

    @property
    def small(self) -> bool:
        """Whether keypad and answer take turns."""
        return self.measures.small

    @property
    def tall(self) -> bool:
        """Whether the answer stands above the keypad, not beside it."""
        return self.size[1] > self.size[0] and not self.small

    @property
    def unit(self) -> float:
        """One line of running text, in pixels."""
        return float(self.measures.text_px)

    @property
    def figure(self) -> float:
        """The text size of the number that matters: its digits are 12 mm high from 7 in on."""
        return self.measures.figure_px

    @property
    def key_w(self) -> float:
        """The least width of a key, in pixels."""
        return self.measures.key_px[0]

    @property
    def key_h(self) -> float:
        """The least height of a key, in pixels."""
        return self.measures.key_px[1]

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
        heavy: bool | None = None,
    ) -> None:
        """Write text in a box, one running line high unless a size is given.

        What is larger than running text is read from a metre, so it is heavy unless told.
        """
        size = size or self.unit
        heavy = size > HEAVY_FROM * self.unit if heavy is None else heavy
        self.shapes.append(Label(box, text, size, role, align, lines, heavy))  # type: ignore[arg-type]

    def key(
        self,
        name: str,
        box: Box,
        text: str,
        role: Role = "key",
        size: float | None = None,
        edge: Role = "rule",
        lines: int = 1,
        does: Action | None = None,
        keys: tuple[str, ...] = (),
        decides: bool = False,
        choice: bool = False,
        first: bool = False,
    ) -> None:
        """A key: flat, edged; the rest is as Target has it."""
        face = box.inset(GAP / 2)
        self.add(Fill(face, role, 6.0, edge, 2.0))
        inner = Box(face.x + 1.0, face.y + 3.0, face.w - 2.0, face.h - 6.0)
        self.text(inner, text, size or self.unit * 1.2, "ink", "centre", lines, heavy=True)
        self.targets.append(Target(name, box, does, keys, decides, choice, first))

    def arrow_key(
        self,
        name: str,
        box: Box,
        left: bool,
        does: Action | None = None,
        keys: tuple[str, ...] = (),
    ) -> None:
        """A key with an arrow drawn on it."""
        self.key(name, box, "", does=does, keys=keys)
        cx, cy = box.centre
        reach = min(box.w, box.h) * (-0.24 if left else 0.24)
        points = ((cx + reach, cy), (cx - reach * 0.7, cy - reach), (cx - reach * 0.7, cy + reach))
        self.add(Polygon(points, "ink"))

    def zones(self, strip: bool = True, keys: bool = True) -> Zones:
        """The places that never move; the keypad on the side of the writing hand.

        Without ``keys`` the strip need not give way to a keypad.
        """
        return zones(self.measures, strip, self.hand, keys)

    @property
    def status(self) -> Box:
        """The line on top of a screen that has no keypad."""
        return Box(0.0, 0.0, float(self.size[0]), self.measures.least_px[1])

    @property
    def below(self) -> Box:
        """Everything under the status line."""
        top = self.measures.least_px[1]
        return Box(0.0, top, float(self.size[0]), self.size[1] - top)

    def scene(self) -> Scene:
        """The finished screen."""
        unseen = tuple(self.unseen or ())
        return Scene(self.size, tuple(self.shapes), tuple(self.targets), unseen=unseen)

    def by_keyboard(self, key: str, does: Action) -> None:
        """An act that a keyboard has though no key of the screen is for it now."""
        assert self.unseen is not None
        self.unseen.append(Target(f"by {key}", Box(0.0, 0.0, 0.0, 0.0), does, (key,)))


def lit(scene: Scene, name: str) -> Scene:
    """The scene with this key lit, as while a finger is on it."""
    target = scene.target(name)
    face = target and target.box.inset(GAP / 2)
    shapes = [
        shape._replace(role="pressed") if isinstance(shape, Fill) and shape.box == face else shape
        for shape in scene.shapes
    ]
    return scene._replace(shapes=tuple(shapes))


def canvas(model: Model) -> Canvas:
    """An empty screen for a model."""
    hand = model.settings.hand
    asks = not isinstance(model.over, HelpShown)
    return Canvas(model.size, [], [], measures(model), model.wanting, hand, asks, [])


def measures(model: Model) -> Physical:
    """The screen's size, by the best that is known of it."""
    return physical(model.size, model.settings, model.told)


def key_rows(c: Canvas, count: int, width: float) -> tuple[int, int]:
    """How many keys go side by side, and in how many rows, each of them wide enough."""
    most = max(1, int(width / c.key_w + 0.01))
    down = -(-count // most)
    return -(-count // down), down


def zones(measures: Physical, strip: bool = True, hand: Hand = "right", keys: bool = True) -> Zones:
    """Divide a screen. Keys come first; where they leave no room for the strip there is none.

    On a small screen the answer beside the keypad is a line above it.
    """
    width, height = float(measures.px[0]), float(measures.px[1])
    key_w, key_h = measures.key_px
    top = Box(0.0, 0.0, width, measures.least_px[1])
    if measures.small and keys:
        pad = Box(0.0, top.h, width, height - top.h)
        return Zones(top, top, pad, Box(0.0, height, width, 0.0))
    strip_h = _strip_height(measures, keys) if strip else 0.0
    low = Box(0.0, height - strip_h, width, strip_h)
    if strip_h:
        low = low.inset(4.0)
    left = height - strip_h  # what is above the strip
    if height > width:
        pad_h = max(4 * key_h, 0.42 * height) if keys else 0.0
        answer = Box(0.0, top.h, width, left - pad_h - top.h)
        return Zones(top, answer.inset(6.0), Box(0.0, left - pad_h, width, pad_h), low)
    pad_w = max(4 * key_w, 0.46 * width) if keys else 0.0
    pad_top = min(top.h, left - 4 * key_h)
    pad_x = 0.0 if hand == "left" else width - pad_w
    pad = Box(pad_x, pad_top, pad_w, left - pad_top)
    answer = Box(pad_w if hand == "left" else 0.0, top.h, width - pad_w, left - top.h)
    return Zones(top, answer.inset(6.0), pad, low)


def _strip_height(measures: Physical, keys: bool) -> float:
    """None where the keypad with its full keys leaves too little."""
    width, height = measures.px
    strip_h = 0.2 * min(width, height)
    if not keys:
        return 0.0 if measures.small else strip_h
    left = height - measures.least_px[1] - 4 * measures.key_px[1] - strip_h
    return strip_h if left >= (0.4 * height if height > width else 0.0) else 0.0


def lines_of(c: Canvas, text: str, width: float) -> int:
    """How many lines of running text a sentence takes."""
    return flowing.lines_of(text, width, c.unit)


def fits(c: Canvas, box: Box, text: str) -> bool:
    """Whether a sentence in running text has room in a box."""
    longest = max((text_width(word, c.unit) for word in text.split()), default=0.0)
    return longest <= box.w and lines_of(c, text, box.w) * c.unit <= box.h


def paragraph(c: Canvas, box: Box, text: str, role: Role = "ink") -> None:
    """Running text that begins at the top of its box, however high that is."""
    high = min(box.h, (1.2 * lines_of(c, text, box.w) + 0.4) * c.unit)
    c.text(box._replace(h=high), text, c.unit, role, "left", max(1, int(box.h / c.unit)))


def notice(c: Canvas, box: Box, word: str, says: str, role: Role, lines: int = 2) -> None:
    """A finding or refusal: a filled word with its shape, then the sentence beside or below it.

    The sentence takes as many lines as the box has room for, at least ``lines``. Where there is
    room for nothing but the sentence a bar stands in the place of the word.
    """
    tag, rest = _tag_and_rest(c, box, says)
    ink: Role = "alarm_ink" if role == "alarm" else "good_ink" if role == "good" else "ink"
    bar = tag.w <= c.unit
    filled: Role = "ink" if bar and role == "sheet" else role  # an empty bar is taken for a box
    c.add(Fill(tag, filled, 4.0, None if bar or role in ("alarm", "good") else "ink"))
    if not bar:
        c.text(tag.inset(1.0), word, min(c.unit, tag.h), ink, "centre")
    if tag.y < rest.y:
        paragraph(c, rest, says)
        return
    c.text(rest, says, c.unit, "ink", "left", max(lines, int(rest.h / c.unit)))


def notice_lines(c: Canvas, says: str, width: float) -> int:
    """About how many lines of running text a notice is high, its word included."""
    if width >= 18 * c.unit and (width >= 20 * c.unit or not c.tall):
        return lines_of(c, says, width - 6.3 * c.unit)
    if lines_of(c, says, width - 5.9 * c.unit - 8.0) == 1:
        return 1
    lines = lines_of(c, says, width)
    return lines + 2 if lines > 2 else lines_of(c, says, width - 18.0)


def _tag_and_rest(c: Canvas, box: Box, says: str) -> tuple[Box, Box]:
    """The word beside the sentence, else above it, else only a bar."""
    tag_w, tag_h = c.unit * 5.9, min(box.h, c.unit * 2.4)
    beside = Box(box.x, box.y + (box.h - tag_h) / 2, tag_w, tag_h)
    rest = Box(beside.right + 8.0, box.y, box.w - tag_w - 8.0, box.h)
    one_line = lines_of(c, says, rest.w) == 1
    if one_line or (box.w >= 16 * c.unit and fits(c, rest, says)):
        return beside, rest
    above = Box(box.x, box.y, tag_w, c.unit * 1.25)
    rest = Box(box.x, above.bottom + 2.0, box.w, box.h - above.h - 2.0)
    if fits(c, rest, says):
        return above, rest
    bar = Box(box.x, box.y + 2.0, GAP * 2, box.h - 4.0)
    return bar, Box(bar.right + 8.0, box.y, box.right - bar.right - 8.0, box.h)
