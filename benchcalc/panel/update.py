"""The panel's one door: a message and a model in, a model and commands out; and its one view."""

from collections.abc import Callable
from dataclasses import replace

from benchcalc.panel.messages import (
    Command,
    KeyTyped,
    Message,
    Pressed,
    Released,
    RunStored,
    SaveWork,
    SomethingBroke,
    StoreFailed,
    StoreRecovered,
)
from benchcalc.panel.model import Model, ScreenName, work_plain
from benchcalc.panel.scene import Scene
from benchcalc.panel.screens import bench, editing, make, making, pick, plan, write

Acted = tuple[Model, tuple[Command, ...]]
Act = Callable[[Model, str], Acted]

KEYS = {
    "enter": "next", "back": "back", "delete": "remove", "tab": "later", "left": "earlier",
    "right": "later", "up": "earlier", "down": "later", "escape": "cancel",
}  # fmt: skip
"""Keys of a keyboard, by the key of the panel that they stand for."""

INSTEAD: dict[ScreenName, dict[str, tuple[str, ...]]] = {
    "bench": {"next": ("plan",)},
    "pick": {"back": ("cancel",), "later": ("more",)},
    "write": {},
    "plan": {"cancel": ("bench",)},
    "minds": {"next": ("plan",), "back": ("plan",), "cancel": ("plan",), "later": ("more",)},
    "make": {
        "back": ("step back",),
        "cancel": ("step back", "unit", "plan"),
        "remove": ("scrap",),
    },
    "kept": {"next": ("new",), "cancel": ("bench",)},
}
"""Where a screen has no such key, the ones that mean the same there, first found first taken."""

CHOICES = ("set ", "choose ", "because ", "keep")
"""Keys that a digit presses, by their order on a screen where nothing is typed."""


def _quiet(act: Callable[[Model, str], Model]) -> Act:
    """A screen that asks nothing of the world."""
    return lambda model, target: (act(model, target), ())


SCREENS: dict[ScreenName, tuple[Callable[[Model], Scene], Act]] = {
    "bench": (bench.view, _quiet(bench.act)),
    "pick": (pick.view, _quiet(pick.act)),
    "write": (write.view, _quiet(write.act)),
    "plan": (plan.view, _quiet(editing.act)),
    "minds": (plan.minds_view, _quiet(plan.minds_act)),
    "make": (make.view, making.act),
    "kept": (make.kept_view, making.kept_act),
}


def view(model: Model) -> Scene:
    """The screen that this model shows."""
    return SCREENS[model.work.screen][0](model)


def update(model: Model, message: Message) -> Acted:
    """What follows from one message.

    Work that changed is to be kept before the screen shows it: the command comes with the model.
    """
    if isinstance(message, Pressed):
        return replace(model, pressed=message.target), ()
    if isinstance(message, Released):
        hit = message.target if message.target == model.pressed else None
        lifted = replace(model, pressed=None)
        return _act(lifted, hit) if hit else (lifted, ())
    if isinstance(message, KeyTyped):
        return _typed(model, message.key)
    if isinstance(message, RunStored):
        return replace(model, work=making.after_storing(model.work, message.sequence)), ()
    if isinstance(message, StoreFailed | SomethingBroke):
        return replace(model, trouble=message.says), ()
    if isinstance(message, StoreRecovered):
        return replace(model, trouble=""), ()
    return model, ()


def _act(model: Model, target: str) -> Acted:
    model = replace(model, refusal="")  # a refusal stands until the next act
    changed, commands = SCREENS[model.work.screen][1](model, target)
    if changed.work is not model.work and changed.work != model.work:
        return changed, (SaveWork(work_plain(changed.work)), *commands)
    return changed, commands


def _typed(model: Model, key: str) -> Acted:
    """A key of a keyboard does what the panel's key does, where the screen has that key."""
    scene = view(model)
    if len(key) == 1:
        target = _for_character(scene, key)
        return _act(model, target) if target else (model, ())
    target = KEYS.get(key, key)
    others = INSTEAD[model.work.screen].get(target, ())
    shown = next((name for name in (target, *others) if scene.target(name)), None)
    return _act(model, shown) if shown else (model, ())


def _for_character(scene: Scene, key: str) -> str | None:
    """Where there is something to type the character, else the choice with this number."""
    upper = f"key {key.upper()}"
    if scene.target(upper):
        return upper
    if scene.target("key 0"):
        return f"key {key}"
    choices = [t.name for t in scene.targets if t.name.startswith(CHOICES)]
    return choices[int(key) - 1] if key in "123456789"[: len(choices)] else None
