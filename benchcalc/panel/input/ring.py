"""The ring that a knob or the arrow keys walk over the keys of a screen; Enter presses under it."""

from benchcalc.panel.input.keyboard import target_of
from benchcalc.panel.state.model import Model
from benchcalc.report.scene import Box, Fill, Role, Scene, Target

ARROWS = {"left": -1, "up": -1, "right": 1, "down": 1}
"""One way, as a knob turns: on to the next key, or back."""

THICK = 6.0


def in_order(scene: Scene) -> list[str]:
    """The keys of a screen as they are read: row by row, each from left to right."""
    rows: list[list[Target]] = []
    for target in sorted(scene.targets, key=lambda t: (t.box.centre[1], t.box.x)):
        first = rows[-1][0].box if rows else None
        if first is not None and target.box.centre[1] < first.bottom:
            rows[-1].append(target)
        else:
            rows.append([target])
    return [t.name for row in rows for t in sorted(row, key=lambda t: t.box.x)]


def start(scene: Scene) -> str | None:
    """Where the next act is: a value that is missing, the digits of an empty field, the way on."""
    keys = [target for name in in_order(scene) if (target := scene.target(name))]
    on = next((key for key in keys if key.first), None) or target_of(scene, "enter")
    on = on or next((key for key in keys if not key.decides), None)
    return on.name if on else next((key.name for key in keys), None)


def seat(model: Model, scene: Scene) -> str | None:
    """The key that the ring is on; where that one is gone, where the next act is."""
    name = model.ring or ""
    return name if scene.target(name) else start(scene)


def walked(model: Model, scene: Scene, by: int) -> str:
    """The key after the one the ring is on, or before it; at first the ring only appears."""
    on, names = seat(model, scene), in_order(scene)
    if model.ring is None or on is None:
        return on or ""
    return names[(names.index(on) + by) % len(names)]


def drawn(model: Model, scene: Scene) -> Scene:
    """The screen with the ring on it: a thick dark line about the key, and a light one inside."""
    target = scene.target(seat(model, scene) or "")
    if target is None:
        return scene
    outer, inner = target.box.inset(1.0), target.box.inset(1.0 + THICK)
    shapes = (*frame(outer, THICK, "ink"), *frame(inner, THICK / 2, "ground"))
    return scene._replace(shapes=(*scene.shapes, *shapes))


def frame(box: Box, thick: float, role: Role) -> tuple[Fill, ...]:
    """The four sides of a rectangle."""
    low, far = box.bottom - thick, box.right - thick
    sides = (
        Box(box.x, box.y, box.w, thick),
        Box(box.x, low, box.w, thick),
        Box(box.x, box.y, thick, box.h),
        Box(far, box.y, thick, box.h),
    )
    return tuple(Fill(side, role) for side in sides)
