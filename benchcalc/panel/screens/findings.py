"""What to mind: every finding of the run, in words, a few a page."""

from benchcalc.core.checks.findings import Finding
from benchcalc.core.springback.gauge import old_check
from benchcalc.panel.state.action import press
from benchcalc.panel.state.in_hand import gauge_in_use, work_in_hand
from benchcalc.panel.state.model import Model
from benchcalc.panel.widgets.form_page import Key, put_key, titled, turned_to
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
    titled(c, model, in_words(model.refusal) or say("findings.title"))
    body, low = foot(c.below, c.key_h)
    each = _per_page(model)
    for finding, box in zip(_shown(model), rows(body.inset(GAP), *[1.0] * each), strict=False):
        where = "" if finding.bend is None else say("findings.bend", number=finding.bend)
        says = where + finding_says(finding, model.draft.units)
        role = LEVEL_ROLE[finding.level]
        notice(c, box.inset(1.0), level_word(finding.level), says, role, 9)
    across, _ = key_rows(c, 3, low.w)
    for key, box in zip(_keys(model), cells(low, across, 1), strict=False):
        put_key(c, box, key, c.unit * 1.2)
    return c.scene()


def _keys(model: Model) -> list[Key]:
    back = Key("plan", say("back"), does=press(_to_plan), keys=("escape", "enter", "back"))
    keys, pages = [back], _pages(model)
    if pages > 1:
        caption = say("pick.more", page=model.work.findings_page + 1, pages=pages)
        keys.append(Key("more", caption, does=press(_next_page), keys=("tab",)))
    sheet = work_in_hand(model).sheet
    if sheet is not None and clash_of(sheet) is not None:
        keys.append(Key("clash", say("findings.clash"), does=press(_to_clash)))
    return keys


def _findings(model: Model) -> tuple[Finding, ...]:
    sheet = work_in_hand(model).sheet
    if sheet is None:
        return ()
    more = (sheet.worth_measuring(), old_check(gauge_in_use(model), model.today))
    return (*sheet.findings, *(one for one in more if one is not None))


def _per_page(model: Model) -> int:
    """As many as have room for their lines."""
    c = canvas(model)
    lines = LINES_EACH if c.size[0] > 25 * c.unit else 2 * LINES_EACH
    room = foot(c.below, c.key_h)[0].h
    return max(1, int(room / (lines * c.unit * 1.15)))


def _pages(model: Model) -> int:
    return max(1, -(-len(_findings(model)) // _per_page(model)))


def _shown(model: Model) -> tuple[Finding, ...]:
    page, each = model.work.findings_page, _per_page(model)
    return _findings(model)[page * each : (page + 1) * each]


def opened(model: Model) -> Model:
    """Every finding, from the gravest on."""
    return model.with_work(screen="findings", findings_page=0)


def _to_plan(model: Model) -> Model:
    return model.with_work(screen="plan")


def _next_page(model: Model) -> Model:
    return model.with_work(findings_page=(model.work.findings_page + 1) % _pages(model))


def _to_clash(model: Model) -> Model:
    return turned_to(model.with_work(screen="clash"), "keys")
