"""Keys of a keyboard or numeric keypad, by the keys of the panel that they stand for."""

from benchcalc.panel.state.action import Action
from benchcalc.panel.state.model import ScreenName
from benchcalc.report.scene import ANY_CHARACTER, Box, Scene, Target

KEYS = {
    "enter": "next", "back": "back", "delete": "remove", "tab": "later", "shift tab": "earlier",
    "escape": "cancel",
}  # fmt: skip
"""Keys of a keyboard, by the key of the panel that they stand for."""

INSTEAD: dict[ScreenName, dict[str, tuple[str, ...]]] = {
    "bench": {"next": ("plan",)},
    "learnt": {
        "next": ("bench",),
        "back": ("bench",),
        "cancel": ("no reset", "bench"),
        "earlier": ("bend before",),
        "later": ("bend after",),
    },
    "copy": {"next": ("start",), "back": ("bench",), "cancel": ("stop", "bench")},
    "settings": {"next": ("bench",), "back": ("bench",), "cancel": ("bench",)},
    "widths": {"next": ("settings",), "back": ("settings",), "cancel": ("settings",)},
}
"""Where a screen has no such key, the ones that mean the same there, first found first taken."""

CHOICES = ("set ", "because ", "keep", "answer ")
"""Keys that a digit presses, by their order on a screen where nothing is typed."""


def target_of(scene: Scene, screen: ScreenName, key: str, lies_open: bool = False) -> Target | None:
    """The key of this screen that a keyboard's key presses; None where there is no such key.

    ``lies_open`` says that nothing lies over the screen.
    """
    if (carried := scene.by_key(key)) is not None:
        return carried
    if len(key) == 1 and (typing := scene.by_key(ANY_CHARACTER)) is not None:
        assert isinstance(typing.action, Action)
        told = (*typing.action.values, key)
        return typing._replace(action=typing.action._replace(values=told))
    name = _named(scene, screen, key, lies_open)
    if name is None:
        return None
    return scene.target(name) or Target(name, Box(0.0, 0.0, 0.0, 0.0))


def _named(scene: Scene, screen: ScreenName, key: str, lies_open: bool) -> str | None:
    if len(key) == 1:
        return _for_character(scene, key)
    target = KEYS.get(key, key)
    others = INSTEAD.get(screen, {}).get(target, ())
    return next((name for name in (target, *others) if scene.target(name)), None)


def _for_character(scene: Scene, key: str) -> str | None:
    """Where there is something to type the character, else the choice with this number."""
    if key == "," and scene.target("key .") and not scene.target("key A"):
        key = "."  # the decimal key of half of the world
    upper = f"key {key.upper()}"
    if scene.target(upper):
        return upper
    if scene.target("key 0"):
        return f"key {key}"
    choices = [t.name for t in scene.targets if t.choice or t.name.startswith(CHOICES)]
    return choices[int(key) - 1] if key in "123456789"[: len(choices)] else None
