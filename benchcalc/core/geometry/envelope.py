"""What stands about the die and could be in the way of a tube that swings.

The frame is the die's: the origin at the start of bend on the tube's centreline, +x along the tube
to the free side, +y the way the bender curves, z = x cross y. Nothing here moves with the arm.
"""

from collections.abc import Iterator

from benchcalc.core.frozen import frozen
from benchcalc.core.geometry.vectors import Vector


@frozen
class Capsule:
    """Everything within ``radius_mm`` of a straight from one point to another: a handle, a die."""

    name: str
    from_mm: Vector
    to_mm: Vector
    radius_mm: float


@frozen
class Block:
    """A box square to the frame, between its lowest and its highest corner: a vice, a clamp."""

    name: str
    low_mm: Vector
    high_mm: Vector


@frozen
class Plane:
    """Everything behind a plane: a bench top, a wall.

    ``faces`` points, with any length, to the side where there is room; ``at_mm`` is how far that
    way from the origin the plane lies.
    """

    name: str
    faces: Vector
    at_mm: float


Body = Capsule | Block | Plane


@frozen
class Envelope:
    """All bodies about a die."""

    capsules: tuple[Capsule, ...] = ()
    boxes: tuple[Block, ...] = ()
    planes: tuple[Plane, ...] = ()

    @property
    def bodies(self) -> Iterator[Body]:
        """One after another."""
        yield from self.capsules
        yield from self.boxes
        yield from self.planes
