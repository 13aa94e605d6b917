"""What stands about a die, as a bender profile has it: bodies by name, each of one of three shapes.

    die:   {from: [x, y, z], to: [x, y, z], radius: r}     all within r of a straight
    vice:  {low: [x, y, z], high: [x, y, z]}               a box square to the frame
    bench: {faces: [x, y, z], at: d}                       all behind a plane

In the die's frame: x along the tube to the free side from the start of bend, y the way the bender
curves, z square to both, right-handed.
"""

from benchcalc.core.geometry.envelope import Block, Capsule, Envelope, Plane
from benchcalc.core.geometry.vectors import Vector
from benchcalc.core.job import Units
from benchcalc.jobfile import values
from benchcalc.jobfile.fields import Fields
from benchcalc.jobfile.values import ENDLESS, Reader, Span

SHAPES = {"from": ("from", "to", "radius"), "low": ("low", "high"), "faces": ("faces", "at")}
_SHAPES = "from, to and radius; or low and high; or faces and at"
_DIRECTION = Span(-1000, 1000)
MOST_NAME = 30


def read_envelope(fields: Fields, bare: Units | None) -> Envelope:
    """The bodies under ``envelope``; empty, with problems noted, where they are none."""
    table = fields.table("envelope")
    if table is None:
        return Envelope()
    if not table.names():
        fields.refuse("envelope", "none", "at least one body", "write one, or leave the key out")
    capsules: list[Capsule] = []
    boxes: list[Block] = []
    planes: list[Plane] = []
    for name in table.names():
        if not _is_name(name.text):
            limit = f"letters and digits, a letter first, {MOST_NAME} characters at most"
            table.refuse(name.text, name.text, limit, "write another name")
        body = table.table(name.text)
        if body is None:
            continue
        if any(body.has(key) for key in SHAPES["from"]):
            capsules += _capsule(body, name.text, bare)
        elif any(body.has(key) for key in SHAPES["low"]):
            boxes += _box(body, name.text, bare)
        elif any(body.has(key) for key in SHAPES["faces"]):
            planes += _plane(body, name.text, bare)
        else:
            table.refuse(name.text, "no shape", _SHAPES, "write one of the three")
            continue
        body.close()
    return Envelope(tuple(capsules), tuple(boxes), tuple(planes))


def _is_name(text: str) -> bool:
    """Whether a name can stand in a sentence: "the tube meets the vice"."""
    plain = text.replace("-", "").replace(" ", "")
    return len(text) <= MOST_NAME and plain.isalnum() and text[0].isalpha()


def _capsule(body: Fields, name: str, bare: Units | None) -> list[Capsule]:
    start, end = (_three(body, key, values.length(bare)) for key in ("from", "to"))
    radius = body.need("radius", values.length(bare, Span(0, ENDLESS, over=True)))
    if start is None or end is None or radius is None:
        return []
    return [Capsule(name, start, end, radius)]


def _box(body: Fields, name: str, bare: Units | None) -> list[Block]:
    low, high = (_three(body, key, values.length(bare)) for key in ("low", "high"))
    if low is None or high is None:
        return []
    for axis, least, most in zip("xyz", low, high, strict=True):
        if least >= most:
            body.refuse("low", f"{least:g} mm in {axis}", f"under high, {most:g} mm", "swap them")
    return [Block(name, low, high)]


def _plane(body: Fields, name: str, bare: Units | None) -> list[Plane]:
    faces = _three(body, "faces", values.number(_DIRECTION))
    at = body.need("at", values.length(bare))
    if faces is None or at is None:
        return []
    if not any(faces):
        body.refuse("faces", "0, 0, 0", "a direction", "write 0, 0, 1 for a bench below")
        return []
    return [Plane(name, faces, at)]


def _three(body: Fields, key: str, reader: Reader[float]) -> Vector | None:
    """The three numbers under a key that must be there."""
    if not body.has(key):
        body.miss(key)
        return None
    found = body.read_several(key, reader, 3)
    if len(found) == 3:
        return found[0], found[1], found[2]
    if found:
        body.refuse(key, f"{len(found)} of them", "three, x, y and z", "write [x, y, z]")
    return None
