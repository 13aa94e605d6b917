"""Where a screen has a key on another of its faces or pages: the key that leads there."""

from benchcalc.report.scene import Scene, Target


def toward(scene: Scene, name: str) -> str | None:
    """The key that leads on to another face or page, while ``name`` is not on this one."""
    if scene.target(name) is not None:
        return None
    return next((way for way in ("look", "more", "type") if scene.target(way) is not None), None)


def name_of(target: Target | None) -> str:
    """A key's name; nothing for none."""
    return target.name if target else ""


def name_at(scene: Scene, x: float, y: float) -> str:
    """The name of the key under a point."""
    return name_of(scene.target_at(x, y))
