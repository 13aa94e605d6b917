"""Vectors in space as plain triples."""

Vector = tuple[float, float, float]


def dot(a: Vector, b: Vector) -> float:
    """The scalar product."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def cross(a: Vector, b: Vector) -> Vector:
    """The vector product, right-handed."""
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


def subtract(a: Vector, b: Vector) -> Vector:
    """From b to a."""
    return (a[0] - b[0], a[1] - b[1], a[2] - b[2])


def scale(a: Vector, by: float) -> Vector:
    """A vector by a number."""
    return (a[0] * by, a[1] * by, a[2] * by)


def translate(point: Vector, direction: Vector, by: float) -> Vector:
    """A point ``by`` along a direction."""
    return (
        point[0] + direction[0] * by,
        point[1] + direction[1] * by,
        point[2] + direction[2] * by,
    )
