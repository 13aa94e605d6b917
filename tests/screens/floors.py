"""What a screen owes a gloved finger and an eye at 70 cm, and where it falls short."""

from benchcalc.panel.model import Model
from benchcalc.panel.scene import Label, Scene, Target
from benchcalc.panel.sizes import LEAST_KEY_MM, Physical, physical
from benchcalc.panel.update import view
from benchcalc.shell.fit import fit
from benchcalc.shell.paint import _width
from tests.screens.measures import key_side_mm

CAPTION_PART = 0.75
"""A word on a key may be that much smaller than running text: the place of a key is known."""

WORD_LETTERS = 40

HAIR_MM, HAIR_ARCMIN = 0.1, 0.25
"""Rounding to whole pixels."""


def least_mm(scene: Scene, target: Target, size: Physical) -> float:
    """How large a key has to be: letters and keys of the status line are pressed seldom."""
    letters = scene.target("key Q") is not None or scene.target("key A") is not None
    if target.box.y == 0.0 or (letters and target.name.startswith("key ")):
        return LEAST_KEY_MM
    return size.key_mm


def shortfalls(model: Model) -> list[str]:
    """Every key that is too small for its glove and every word too small for the eye."""
    scene, size = view(model), physical(model.size, model.settings, model.told)
    found = []
    for target in scene.targets:
        side, least = key_side_mm(target.box, size), least_mm(scene, target, size)
        if side < least - HAIR_MM:
            found.append(f"key {target.name}: {side:.1f} mm, not {least:.1f}")
    for shape in scene.shapes:
        if isinstance(shape, Label) and shape.text.strip("! "):
            seen = size.seen_arcmin(fit(shape, _width).size_px)
            least = size.arcmin * (CAPTION_PART if on_a_key(scene, shape) else 1.0)
            if seen < least - HAIR_ARCMIN:
                found.append(f"text {shape.text!r}: {seen:.1f}', not {least:.0f}")
    return found


def on_a_key(scene: Scene, label: Label) -> bool:
    """Whether a text is the word or the value on a key, not a sentence there."""
    return len(label.text) <= WORD_LETTERS and scene.target_at(*label.box.centre) is not None
