"""All pieces are stored: what was made, and what next."""

from benchcalc.panel.screens import port
from benchcalc.panel.screens.making import new_run, one_more, stored_piece, to_bench
from benchcalc.panel.state.action import press
from benchcalc.panel.state.model import Model
from benchcalc.panel.widgets.form_page import Key, put_key
from benchcalc.panel.widgets.grid import (
    GAP,
    canvas,
)
from benchcalc.panel.widgets.stacking import sentence, stack
from benchcalc.panel.widgets.status_line import status_line
from benchcalc.report.boxes import cells, columns, foot, rows
from benchcalc.report.scene import Scene
from benchcalc.words.language import say


def view(model: Model) -> Scene:
    """What was made, its number in the log, and the keys; the record's lies where it was stored."""
    c = canvas(model)
    making = model.work.making
    status_line(c, c.status, say("kept.title"), "", model.trouble)
    body, low = foot(c.below, 2 * c.key_h)
    others, last = rows(low, 1.0, 1.0)
    number = making.stored if making else 0
    name = model.draft.name or say("bench.unnamed")
    lines = [sentence(c, say("kept.says", count=model.draft.pieces, name=name), 0, body.w, 1.3)]
    if number:
        lines.append(sentence(c, say("kept.number", number=number), 1, body.w))
    stack(c, body.inset(GAP * 2), lines)
    missed = making is not None and making.before is not None
    upper, under = others, last
    if missed:
        left, under = columns(last, 0.5, 0.5)
        ask = Key("port", say("kept.port"), does=press(port.asked_after_last))
        put_key(c, left, ask)
    for key, box in zip(_keys(), (*cells(upper, 3, 1), under), strict=True):
        put_key(c, box, key)
    return c.scene()


def _keys() -> tuple[Key, ...]:
    return (
        Key("new", say("kept.new"), "key_go", press(new_run), decides=True),
        Key("bench", say("kept.bench"), does=press(to_bench), keys=("escape",)),
        Key("one more", say("kept.one-more"), does=press(one_more)),
        Key("piece", say("kept.piece"), does=press(stored_piece), keys=("enter",)),
    )
