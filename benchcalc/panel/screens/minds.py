"""What to mind: every finding of the run, in words, a few a page."""

from dataclasses import replace

from benchcalc.core.checks.findings import Finding
from benchcalc.panel.state.in_hand import work_in_hand
from benchcalc.panel.state.model import Model, Writing
from benchcalc.panel.widgets.form_page import titled
from benchcalc.panel.widgets.grid import (
    GAP,
    canvas,
    key_rows,
    notice,
)
from benchcalc.report.boxes import (
    cells,
    foot,
    rows,
)
from benchcalc.report.finding_text import finding_says, level_word
from benchcalc.report.run_marks import clash_of
from benchcalc.report.scene import Role, Scene
from benchcalc.report.told import in_words
from benchcalc.words.language import say

LEVEL_ROLE: dict[str, Role] = {"stop": "alarm", "caution": "sheet", "note": "ground"}
LINES_EACH = 4
"""Lines of text for a finding on a wide screen; half as wide, twice as many."""


def view(model: Model) -> Scene:
    """A page of findings; the way back, on, and to what is met."""
    c = canvas(model)
    titled(c, model, in_words(model.refusal) or say("minds.title"))
    sheet = work_in_hand(model).sheet
    names = ["plan"]
    if _pages(model) > 1:
        names.append("more")
    if sheet is not None and clash_of(sheet) is not None:
        names.append("clash")
    body, low = foot(c.below, c.key_h)
    each = _per_page(model)
    for finding, box in zip(_shown(model), rows(body.inset(GAP), *[1.0] * each), strict=False):
        where = "" if finding.bend is None else say("minds.bend", number=finding.bend)
        says = where + finding_says(finding, model.draft.units)
        role = LEVEL_ROLE[finding.level]
        notice(c, box.inset(1.0), level_word(finding.level), says, role, 9)
    across, _ = key_rows(c, 3, low.w)
    texts = {
        "plan": say("back"),
        "more": say("pick.more", page=model.work.writing.page + 1, pages=_pages(model)),
        "clash": say("minds.clash"),
    }
    for name, box in zip(names, cells(low, across, 1), strict=False):
        c.key(name, box, texts[name], "key_act", lines=2)
    return c.scene()


def _findings(model: Model) -> tuple[Finding, ...]:
    sheet = work_in_hand(model).sheet
    return sheet.findings if sheet else ()


def _per_page(model: Model) -> int:
    """As many as have room for their lines."""
    c = canvas(model)
    lines = LINES_EACH if c.size[0] > 25 * c.unit else 2 * LINES_EACH
    room = foot(c.below, c.key_h)[0].h
    return max(1, int(room / (lines * c.unit * 1.15)))


def _pages(model: Model) -> int:
    return max(1, -(-len(_findings(model)) // _per_page(model)))


def _shown(model: Model) -> tuple[Finding, ...]:
    page, each = model.work.writing.page, _per_page(model)
    return _findings(model)[page * each : (page + 1) * each]


def opened(model: Model) -> Model:
    """Every finding, from the gravest on."""
    return model.with_work(screen="minds", writing=Writing())


def act(model: Model, target: str) -> Model:
    """Back to the run, the next page, or what is met."""
    if target == "more":
        page = (model.work.writing.page + 1) % _pages(model)
        return model.with_work(writing=replace(model.work.writing, page=page))
    if target == "clash":
        return replace(model.with_work(screen="clash"), face="keys")
    return model.with_work(screen="plan") if target == "plan" else model
