"""What a screen shows, as values: shapes with a box and a colour role, and what can be tapped.

Coordinates are pixels from the top left corner. Colours are roles of a theme (``ink``, ``ground``,
``pen`` ...), never numbers. A painter in the shell turns a scene into pixels; tests read it as
text; the picture writer turns the same shapes into SVG.
"""

from collections.abc import Hashable, Iterable
from typing import Literal, NamedTuple

Role = Literal[
    "ground", "sheet", "key", "key_act", "key_go", "pressed", "ink", "quiet", "rule",
    "pen", "pen_ink", "tube", "tube_edge", "lit", "alarm", "alarm_ink", "good", "good_ink", "focus",
    "dark",
]  # fmt: skip
Align = Literal["left", "centre", "right"]
Point = tuple[float, float]

CAPITAL_PART = 0.73
"""Height of a capital or a digit, as a part of the text size."""


class Box(NamedTuple):
    """A rectangle in pixels."""

    x: float
    y: float
    w: float
    h: float

    @property
    def right(self) -> float:
        """The x of the right edge."""
        return self.x + self.w

    @property
    def bottom(self) -> float:
        """The y of the lower edge."""
        return self.y + self.h

    @property
    def centre(self) -> Point:
        """The middle."""
        return (self.x + self.w / 2, self.y + self.h / 2)

    def holds(self, x: float, y: float) -> bool:
        """Whether a point lies inside."""
        return self.x <= x < self.x + self.w and self.y <= y < self.y + self.h

    def inset(self, by: float) -> "Box":
        """The box smaller by ``by`` on every side."""
        return Box(self.x + by, self.y + by, self.w - 2 * by, self.h - 2 * by)


class Fill(NamedTuple):
    """A filled rectangle with rounded corners, and an edge when ``edge`` names a role."""

    box: Box
    role: Role
    radius: float = 0.0
    edge: Role | None = None
    edge_width: float = 2.0


class Label(NamedTuple):
    """Text inside a box. ``size`` is the height of the line; the painter shrinks what is too wide.

    ``lines`` is how many lines the text may be broken into; ``heavy`` is what is pressed or read
    from a metre.
    """

    box: Box
    text: str
    size: float
    role: Role = "ink"
    align: Align = "left"
    lines: int = 1
    heavy: bool = False


class Stroke(NamedTuple):
    """A line through points."""

    points: tuple[Point, ...]
    role: Role
    width: float = 2.0


class Polygon(NamedTuple):
    """A filled polygon."""

    points: tuple[Point, ...]
    role: Role


class Disc(NamedTuple):
    """A filled circle, or a ring when ``width`` is over zero."""

    centre: Point
    radius: float
    role: Role
    width: float = 0.0


Shape = Fill | Label | Stroke | Polygon | Disc


class Picture(NamedTuple):
    """Shapes drawn together, smoothly; the painter may keep the result as long as it is equal."""

    box: Box
    shapes: tuple[Shape, ...]
    ground: Role = "ground"


ANY_CHARACTER = "any character"
"""Among the keys of a place: every character that presses no other one; its action is told it."""


class Target(NamedTuple):
    """A place that can be tapped: its name, where it is, and what it does.

    ``action`` is a frozen value that whoever drew the screen knows how to carry out. ``keys`` are
    those of a keyboard that press it: characters, or names such as enter and escape. A knob stands
    on a key that is ``first`` before all others, on one that ``decides`` something never before it
    was walked there. A ``choice`` is pressed by its number where nothing is typed.
    """

    name: str
    box: Box
    action: Hashable = None
    keys: tuple[str, ...] = ()
    decides: bool = False
    choice: bool = False
    first: bool = False

    def is_as(self, other: "Target | None") -> bool:
        """Whether a press on it means what a press on the other one does."""
        return other is not None and (self.name, self.action) == (other.name, other.action)


class Scene(NamedTuple):
    """One whole screen. ``unseen`` are acts that a keyboard alone has here."""

    size: tuple[int, int]
    shapes: tuple[Shape | Picture, ...]
    targets: tuple[Target, ...]
    ground: Role = "ground"
    unseen: tuple[Target, ...] = ()

    def target_at(self, x: float, y: float) -> Target | None:
        """The place under a point; the last one drawn lies on top."""
        return next((t for t in reversed(self.targets) if t.box.holds(x, y)), None)

    def by_key(self, key: str) -> Target | None:
        """The place that a keyboard's key presses, else the last act ``unseen`` that it has."""
        return next((t for t in (*self.targets, *reversed(self.unseen)) if key in t.keys), None)

    def target(self, name: str) -> Target | None:
        """The place with this name, or None when the screen does not show it."""
        return next((t for t in self.targets if t.name == name), None)


def flatten(shapes: Iterable[Shape | Picture]) -> Iterable[Shape]:
    """All shapes, those inside pictures too."""
    for shape in shapes:
        if isinstance(shape, Picture):
            yield from shape.shapes
        else:
            yield shape


def scene_text(scene: Scene) -> str:
    """The words of a screen, one label a line, for tests and for reading a state without pixels."""
    return "\n".join(s.text for s in flatten(scene.shapes) if isinstance(s, Label) and s.text)
