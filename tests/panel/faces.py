"""Where a screen has a key on another of its faces or pages: the key that leads there."""

from benchcalc.report.scene import Scene


def toward(scene: Scene, name: str) -> str | None:
    """The key that leads on to another face or page, while ``name`` is not on this one."""
    if scene.target(name) is not None:
        return None
    return next((way for way in ("look", "more", "type") if scene.target(way) is not None), None)
