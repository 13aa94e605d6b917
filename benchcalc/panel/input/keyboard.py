"""Keys of a keyboard or numeric keypad, by the keys of the panel that they stand for."""

from benchcalc.panel.state.action import Action
from benchcalc.report.scene import ANY_CHARACTER, Scene, Target


def target_of(scene: Scene, key: str) -> Target | None:
    """The key of this screen that a keyboard's key presses; None where there is no such key.

    A character is typed where something is typed; else a digit presses the choice of its number.
    """
    if (carried := scene.by_key(key)) is not None:
        return carried
    if len(key) != 1:
        return None
    if (typing := scene.by_key(ANY_CHARACTER)) is not None:
        assert isinstance(typing.action, Action)
        told = (*typing.action.values, key)
        return typing._replace(action=typing.action._replace(values=told))
    choices = [target for target in scene.targets if target.choice]
    return choices[int(key) - 1] if key in "123456789"[: len(choices)] else None
