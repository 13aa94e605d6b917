"""What the tube meets: where, how much room it lacks, and another order of bending to try."""

from dataclasses import replace

from benchcalc.core.finding import Finding
from benchcalc.core.sheet import Sheet
from benchcalc.panel.state import ordering
from benchcalc.panel.state.action import press
from benchcalc.panel.state.in_hand import work_in_hand
from benchcalc.panel.state.model import Model
from benchcalc.panel.widgets.form_page import (
    Key,
    Told,
    face_key,
    key_row,
    onward,
    page_of,
    pages,
    tell,
)
from benchcalc.panel.widgets.grid import (
    GAP,
    canvas,
)
from benchcalc.panel.widgets.status_line import status_line
from benchcalc.report.boxes import (
    columns,
    foot,
    rows,
)
from benchcalc.report.finding_text import finding_says, level_word, order_says
from benchcalc.report.run_marks import clash_of, clash_picture
from benchcalc.report.scene import Role, Scene
from benchcalc.report.told import in_words
from benchcalc.words.language import say


def view(model: Model) -> Scene:
    """The sentences beside the picture, on a small screen before it; the way back, the search."""
    c = canvas(model)
    status_line(c, c.status, say("clash.title"), "", model.trouble)
    body, low = foot(c.below, c.key_h)
    sheet = work_in_hand(model).sheet
    clash = clash_of(sheet) if sheet else None
    if c.small:
        says = picture = body
    else:
        says, picture = rows(body, 0.5, 0.5) if c.tall else columns(body, 0.5, 0.5)
    room = says.inset(2 * GAP)
    leaves = pages(c, room, _told(model, clash))
    seen = sheet is not None and clash is not None
    count = len(leaves) + (1 if c.small and seen else 0)
    at = page_of(model, count)
    if at < len(leaves):
        tell(c, room, leaves[at])
    if sheet is not None and clash is not None and (not c.small or at == len(leaves)):
        c.add(clash_picture(picture.inset(2 * GAP), sheet, clash))
    key_row(c, low, _keys(model, sheet, at, onward(at, count)))
    return c.scene()


def _told(model: Model, clash: Finding | None) -> list[Told]:
    """What is met, and what the search for another order says; the newer comes first."""
    searched = in_words(model.refusal) or _searched(model)
    if clash is None:
        return [one for one in (Told(say("clash.none")), Told(searched)) if one.says]
    where = "" if clash.bend is None else say("findings.bend", number=clash.bend)
    role: Role = "alarm" if clash.level == "stop" else "lit"
    text = where + finding_says(clash, model.draft.units)
    met = Told(text, 1 if searched else 0, level_word(clash.level), role)
    return [Told(searched), met] if searched else [met]


def _keys(model: Model, sheet: Sheet | None, at: int, on: list[Key]) -> list[Key]:
    if at:
        return [face_key("keys", say("back"))._replace(keys=("escape", "back")), *on]
    back = press(_to_findings)
    keys = [Key("findings", say("back"), does=back, keys=("escape", "back")), *on]
    sought = model.order_sought
    if sought is not None and sought.order:
        take = press(ordering.take)
        keys.append(Key("order take", say("order.take"), "key_go", take, ("enter",)))
    elif sought is None and ordering.worth_seeking(model, sheet):
        keys.append(
            Key("order find", say("order.find"), does=press(ordering.find), keys=("enter",))
        )
    return keys


def _to_findings(model: Model) -> Model:
    return replace(model, order_sought=None, face="keys").with_work(screen="findings")


def _searched(model: Model) -> str:
    """What the search came to, "" when none was asked for."""
    sought = model.order_sought
    if sought is None:
        return ""
    if not sought.done:
        return say("order.looking")
    return order_says(sought.order, sought.held) if sought.order else say("order.none")
