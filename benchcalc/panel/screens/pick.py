"""Choose one of a list: the bender, the material, the tape."""

from dataclasses import replace

from benchcalc.core.job import Bender, Units
from benchcalc.core.lengths import TAPES
from benchcalc.panel.state.action import press
from benchcalc.panel.state.making.steps import begin_again
from benchcalc.panel.state.model import Draft, Model
from benchcalc.panel.widgets.form_page import Key, put_key
from benchcalc.panel.widgets.grid import canvas
from benchcalc.panel.widgets.status_line import status_line
from benchcalc.report.boxes import (
    cells,
    foot,
    rows,
)
from benchcalc.report.figures import size_text
from benchcalc.report.scene import Scene
from benchcalc.words.language import number_shown, say


def options(model: Model) -> list[tuple[str, str]]:
    """What can be chosen: (key, what it says more)."""
    field = model.work.writing.field
    if field == "bender":
        return [(b.key, _bender_says(b)) for b in model.shop.benders]
    if field == "material":
        return [
            (m.key, say("pick.material", percent=f"{100 * m.elongation:.0f} %"))
            for m in model.shop.materials
        ]
    return [(name, "") for name in TAPES]


def _bender_says(bender: Bender) -> str:
    units = die_units(bender)
    od, radius = size_text(bender.od_mm, units), size_text(bender.radius_mm, units)
    return say("pick.bender", od=od, radius=radius)


def die_units(bender: Bender) -> Units:
    """Metric dies come in half millimetres; the others are made in inches."""
    return "mm" if abs(bender.od_mm * 2 - round(bender.od_mm * 2)) < 1e-9 else "in"


def view(model: Model) -> Scene:
    """The choices, and the way back and on below."""
    c = canvas(model)
    status_line(c, c.status, say(f"pick.{model.work.writing.field}.title"), "", model.trouble)
    grid, low = foot(c.below, c.key_h)
    across, down = _grid(model)
    each, every = across * down, options(model)
    page = model.work.writing.page
    shown = every[page * each : (page + 1) * each]
    for (key, more), box in zip(shown, cells(grid, across, down), strict=False):
        c.key(f"choose {key}", box, "", does=press(_choose, key), choice=True)
        inner = box.inset(6.0)
        top, under = rows(inner, 0.42, 0.58) if more else (inner, inner)
        name = number_shown(key) if model.work.writing.field == "tape" else key
        c.text(top, name, c.unit * 1.2)
        if more:
            c.text(under, more, c.unit, "quiet", lines=2)
    left, right = cells(low, 2, 1)
    back = Key("cancel", say("back"), does=press(_to_bench), keys=("escape", "back"))
    put_key(c, left, back, c.unit * 1.2, 1)
    if len(every) > each:
        pages = -(-len(every) // each)
        caption = say("pick.more", page=page + 1, pages=pages)
        more_ = Key("more", caption, does=press(_turned, (page + 1) % pages), keys=("tab",))
        put_key(c, right, more_, c.unit * 1.2, 1)
    return c.scene()


def _grid(model: Model) -> tuple[int, int]:
    """Choices across and down, each with room for its name and two lines about it."""
    c = canvas(model)
    across = 1 if c.tall else 2
    height = max(c.key_h, 3.4 * c.unit)
    return across, max(1, int(foot(c.below, c.key_h)[0].h / height + 0.01))


def _to_bench(model: Model) -> Model:
    return model.with_work(screen="bench")


def _turned(model: Model, page: int) -> Model:
    return model.with_work(writing=replace(model.work.writing, page=page))


def _choose(model: Model, key: str) -> Model:
    """The choice made; what was only cut or marked of a piece begins anew with another tool."""
    field, draft = model.work.writing.field, model.draft
    model = _to_bench(model)
    if field == "tape":
        return model.with_draft(tape=key if key in TAPES else draft.tape)
    if field == "material":
        chosen = replace(draft, material=model.shop.material(key) or draft.material)
    else:
        chosen = _with_bender(draft, model.shop.bender(key) or draft.bender)
    if chosen == draft:
        return model
    changed = model.with_work(draft=chosen)
    return replace(changed, work=begin_again(changed.work))


def _with_bender(draft: Draft, bender: Bender | None) -> Draft:
    """Another die size is another tube, in the die's units while no leg is written.

    The wall is asked for again, unless it was given before any die or for a run that stands; and
    then too when it would fill the new tube.
    """
    if bender is None or (draft.bender is not None and draft.bender.od_mm == bender.od_mm):
        return replace(draft, bender=bender)
    written = any(row.leg or row.shape for row in draft.rows)
    wall = draft.wall_mm if written or draft.bender is None else None
    if wall is not None and 2 * wall >= bender.od_mm:
        wall = None
    fitted = replace(draft, bender=bender, od_mm=None, wall_mm=wall)
    if written:
        return fitted
    units = die_units(bender)
    return replace(fitted, units=units, rows=tuple(replace(r, unit=units) for r in draft.rows))
