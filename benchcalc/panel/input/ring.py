"""The ring that a knob or the arrow keys walk over the keys of a screen; Enter presses under it."""

from benchcalc.panel.input.keyboard import target_of
from benchcalc.panel.state.model import Model
from benchcalc.report.scene import Box, Fill, Role, Scene, Target

ARROWS = {"left": -1, "up": -1, "right": 1, "down": 1}
"""One way, as a knob turns: on to the next key, or back."""

NOT_FIRST = (
    "keep", "scrap", "because ", "answer ", "yes ", "take anyway", "drop", "remove", "understood",
    "loosen", "replace", "away", "new", "stop", "help",
)  # fmt: skip
"""Keys that decide something, or lead aside: the ring never stands there before it was walked."""

MIDDLE_DIGIT = "key 5"
"""Nearest to all other digits."""

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


def start(model: Model, scene: Scene) -> str | None:
    """Where the next act is: a value that is missing, the digits of an empty field, the way on."""
    names = in_order(scene)
    if model.work.screen == "bench":
        draft = model.draft
        given = {"bender": draft.bender, "material": draft.material, "wall": draft.wall_mm}
        lacks = next((f"set {name}" for name, value in given.items() if value is None), "")
        if lacks in names:
            return lacks
    if MIDDLE_DIGIT in names and "back" not in names:
        return MIDDLE_DIGIT
    on = target_of(scene, model.work.screen, "enter")
    if on is not None:
        return on.name
    decides = {t.name for t in scene.targets if t.decides or t.name.startswith(NOT_FIRST)}
    harmless = [name for name in names if name not in decides]
    return next(iter((*harmless, *names)), None)


def seat(model: Model, scene: Scene) -> str | None:
    """The key that the ring is on; where that one is gone, where the next act is."""
    name = model.ring or ""
    return name if scene.target(name) else start(model, scene)


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
