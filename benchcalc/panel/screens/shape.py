"""Choose a shape by its name, then type what is known of it; the picture shows what is asked."""

from typing import NamedTuple

from benchcalc.core.finding import Finding
from benchcalc.core.shapes.ports import Answer
from benchcalc.panel.drawings.shape_figures import figure_of
from benchcalc.panel.drawings.shape_picture import figure_picture
from benchcalc.panel.screens import shape_keys as acts
from benchcalc.panel.state.action import press
from benchcalc.panel.state.draft import DraftSheet, not_whole
from benchcalc.panel.state.model import Model
from benchcalc.panel.state.shape_forms import FORMS, Fault, empty, read_shape
from benchcalc.panel.state.shaping import (
    against,
    clearance_mm,
    miss_of_way,
    tried,
    way_in_hand,
    ways_of,
)
from benchcalc.panel.state.typed_shapes import ShapeTyped
from benchcalc.panel.widgets.form_page import Key, face_key, form, form_status, key_row, put_key
from benchcalc.panel.widgets.grid import (
    GAP,
    Canvas,
    canvas,
    key_rows,
    notice,
    notice_lines,
)
from benchcalc.panel.widgets.keypad import keypad
from benchcalc.panel.widgets.status_line import status_line
from benchcalc.panel.widgets.typed_field import typed_field
from benchcalc.report.boxes import (
    cells,
    columns,
    foot,
    rows,
)
from benchcalc.report.figures import angle_text, length_figure, length_text
from benchcalc.report.finding_text import finding_says, headline, level_word
from benchcalc.report.scene import Box, Fill, Role, Scene
from benchcalc.report.told import in_words
from benchcalc.words.language import say

MOST_WAYS = 4
"""Ways to a port that there is room for."""

TOO_CLOSE = ("negative-straight", "straight-between")
"""Findings about the straight between two bends."""


def view(model: Model) -> Scene:
    """The names to choose from, or the form of the shape that was chosen."""
    typed = model.work.shaping.shape
    return _choices(model) if typed is None else _form(model, typed)


def _choices(model: Model) -> Scene:
    """Each shape with its picture; the way back where the last one would lie."""
    c = canvas(model)
    status_line(c, c.status, in_words(model.refusal) or say("shape.title"), "", model.trouble)
    across, down = (2, 5) if c.tall else (3, 3)
    places = cells(c.below, across, down)
    for kind, box in zip(FORMS, places, strict=False):
        c.key(f"choose {kind}", box, "", does=press(acts.choose, kind), choice=True)
        face = box.inset(6.0)
        drawn = kind not in ("parallel", "port", "ports") and not c.small
        picture, name = rows(face, *((0.58, 0.42) if drawn else (0.01, 0.99)))
        c.text(name, say(f"shape.{kind}"), c.unit, "ink", "centre", 2 if drawn else 3)
        if drawn:
            typed = empty(kind, model.draft.units)
            figure = figure_of(model, typed, None)._replace(sizes=())
            shown = figure_picture(picture, model.draft, typed, None, figure, c.unit)
            c.add(shown._replace(ground="key"))
    put_key(c, places[-1], _leave(say("back")), c.unit * 1.2, 1)
    return c.scene()


class _Form(NamedTuple):
    """The form as it stands: the shape, the field in hand, and the run with the shape in it."""

    typed: ShapeTyped
    at: int
    faults: tuple[Fault, ...]
    read: DraftSheet
    row: int
    says: str

    @property
    def on_ways(self) -> bool:
        """Whether a way to the port is asked."""
        return FORMS[self.typed.kind][self.at].kind == "way"


def _form(model: Model, typed: ShapeTyped) -> Scene:
    """The field in hand, the shape with that size lit, the keypad; or the whole of it."""
    c = canvas(model)
    read, row = tried(model, typed)
    _, faults = read_shape(typed, model.draft.extras.angles == "included")
    at = model.work.shaping.field
    wrong = next((in_words(f.says) for f in faults if f.field == at and typed.texts[at]), "")
    shown = _Form(typed, at, faults, read, row, in_words(model.refusal) or wrong)
    if model.face == "answer" or model.work.shaping.asking or (c.small and model.refusal):
        _whole(c, model, shown)
    else:
        _typing(c, model, shown)
    return c.scene()


def _typing(c: Canvas, model: Model, shown: _Form) -> None:
    """The keypad with the field in hand, and the picture or what stands in the way."""
    places = form(c)
    title = say(f"shape.{shown.typed.kind}")
    if not shown.on_ways:
        title = say("shape.field-of", shape=title, at=shown.at + 1, count=len(shown.typed.texts))
    free = form_status(c, model, title)
    if free and c.small and shown.on_ways:
        key_row(c, places.field, _beside(shown))
    elif free:
        _field(c, model, shown, places.field)
    _pad(c, model, shown, places.pad)
    if c.small:
        return
    says, told = places.says, _in_the_way(model, shown)
    if told:
        high = min(says.h, (notice_lines(c, told[1], says.w) + 0.5) * c.unit * 1.12)
        top, says = rows(says, high, says.h - high)
        notice(c, top, *told, "alarm")
    if says.h > 3 * c.unit:
        _picture(c, model, shown, says)
    key_row(c, places.keys, _beside(shown))


def _in_the_way(model: Model, shown: _Form) -> tuple[str, str] | None:
    """A word and a sentence when the shape as it stands cannot be bent, or is not taken."""
    if shown.says:
        return say("word.check"), shown.says
    whole = shown.typed.kind in ("parallel", "port", "ports")
    if not shown.faults and shown.read.wrong and shown.read.sheet is None:
        return say("word.check"), in_words(shown.read.wrong[-1].says)
    if shown.faults or (not whole and not shown.read.bends_in(shown.row)):
        return None
    finding = against(shown.read, shown.row, whole)
    if finding is None or finding.level != "stop":
        return None
    says = "" if whole else _close(shown.read, finding, shown.row, False)
    return level_word("stop"), says or finding_says(finding, model.draft.units)


def _whole(c: Canvas, model: Model, shown: _Form) -> None:
    """The second page: the picture with all sizes, what comes of it, and all that can be done."""
    status_line(c, c.status, say(f"shape.{shown.typed.kind}"), "", model.trouble)
    keys = _all_keys(model)
    across, down = key_rows(c, len(keys), c.below.w)
    lines = [keys[at * across : (at + 1) * across] for at in range(down)]
    apart = 0.0
    if model.work.shaping.asking:  # the second press above the row in which the first one was
        lines, apart = _sure(model.work.shaping.new), 4 * GAP
    body, low = foot(c.below, c.key_h * len(lines) + apart)
    for line, part in zip(lines, rows(low, *[1.0] * len(lines)), strict=True):
        key_row(c, part, line)
    body = body.inset(GAP)
    if c.small:
        _comes(c, model, shown, body)
        return
    picture, says = rows(body, 0.55, 0.45) if c.tall else columns(body, 0.55, 0.45)
    _picture(c, model, shown, picture)
    _comes(c, model, shown, says.inset(GAP))


def _picture(c: Canvas, model: Model, shown: _Form, box: Box) -> None:
    """The shape; the size that is asked is lit."""
    lit = None if shown.on_ways else shown.at
    figure = figure_of(model, shown.typed, shown.at)
    c.add(Fill(box, "sheet", 6.0))
    c.add(figure_picture(box.inset(4.0), model.draft, shown.typed, lit, figure, c.unit))


def _field(c: Canvas, model: Model, shown: _Form, box: Box) -> None:
    """The field in hand with what is typed in it."""
    typed, at = shown.typed, shown.at
    asked, text = FORMS[typed.kind][at], typed.texts[at]
    if shown.on_ways:
        c.text(box.inset(GAP), say("shape.which-way"), c.unit, lines=2)
        return
    entry = acts.entry_of(model)
    spec = entry.field
    says = entry._replace(text=text or asked.empty or "").shown or say("plan.leg.empty")
    if spec.kind == "number" and not text:
        says = say("shape.part.empty")
    name = say(spec.phrase)
    name = f"{name} {at + 1}/{len(typed.texts)}" if c.small else name
    typed_field(c, box, name, says, bool(text), bool(shown.says) and bool(text))


def _leave(caption: str) -> Key:
    return Key("leave", caption, does=press(acts.leave), keys=("escape",))


def _back(shown: _Form, caption: str) -> Key:
    """The way back: a field, or out."""
    if shown.at:
        return Key("earlier", "", does=press(acts.earlier), keys=("shift tab",))
    return _leave(caption)


def _take(role: Role, keys: tuple[str, ...] = ("enter",)) -> Key:
    return Key("take", say("shape.take"), role, press(acts.take), keys)


def _beside(shown: _Form) -> list[Key]:
    """The row beside the keypad: back a field or out, the second page, into the run."""
    take = _take("key_go") if shown.on_ways else _take("key_act", ())
    return [_back(shown, say("shape.leave")), face_key("answer", say("more")), take]


def _all_keys(model: Model) -> list[Key]:
    """What can be done with the whole shape."""
    shaping = model.work.shaping
    keys = [_leave(say("shape.leave")), face_key("keys", say("plan.type"))]
    if not shaping.new:
        loosen = press(acts.loosen)
        keys.append(Key("loosen", say("shape.loosen"), does=loosen, decides=True))
        if shaping.shape is not None and shaping.shape.kind == "parallel":
            keys.append(Key("away", say("shape.away"), does=press(acts.away), decides=True))
    return [*keys, _take("key_go")]


def _sure(new: bool) -> list[list[Key]]:
    """The second press, and the way back where the first one was."""
    name, act = ("replace", acts.take) if new else ("loosen", acts.loosen)
    yes = Key(f"yes {name}", say(f"shape.{name}-sure"), does=press(act, True), decides=True)
    no = Key("no", say("shape.no"), "key_go", press(acts.not_after_all), ("escape",))
    return [[yes], [no]]


def _comes(c: Canvas, model: Model, form: _Form, box: Box) -> None:
    """What stands in the way, or what comes of the shape."""
    if form.says:
        notice(c, box, say("word.check"), form.says, "alarm")
        return
    typed, read = form.typed, form.read
    lines = int(box.h / c.unit)
    if form.faults:
        c.text(box, say(f"shape.{typed.kind}.how"), c.unit, "quiet", lines=lines)
        return
    if read.wrong and read.sheet is None:
        notice(c, box, say("word.check"), in_words(read.wrong[-1].says), "alarm")
        return
    whole = typed.kind in ("parallel", "port", "ports")
    if not whole and not read.bends_in(form.row):  # a row before it is not complete
        c.text(box, in_words(not_whole(read)), c.unit, lines=lines)
        return
    finding = against(read, form.row, whole)
    if finding is not None:
        role: Role = "alarm" if finding.level == "stop" else "sheet"
        says = "" if whole else _close(read, finding, form.row, c.small)
        if not says:
            says = headline(finding) if c.small else finding_says(finding, model.draft.units)
        notice(c, box, level_word(finding.level), says, role)
    elif read.sheet is not None:
        c.text(box, _made(read, form.row, whole), c.unit, lines=lines)


def _close(read: DraftSheet, finding: Finding, row: int, short: bool) -> str:
    """Of a leg inside a shape, which nobody typed: that it is too short, and what to change."""
    first = read.firsts[row] + 1
    inside = range(first + 1, first + read.bends_in(row))
    if read.sheet is None or finding.rule not in TOO_CLOSE or finding.bend not in inside:
        return ""
    job = read.sheet.job
    by_mm = job.bender.between_mm - float(dict(finding.values)["straight_mm"])
    by = length_text(by_mm, job.units)
    return say("shape.close.short", by=by) if short else say("shape.close", by=by)


def _made(read: DraftSheet, row: int, whole: bool) -> str:
    """The bends and legs that a shape comes to."""
    assert read.sheet is not None
    run, units = read.sheet.job.run, read.sheet.job.units
    first, count = (0, len(run.segments)) if whole else (read.firsts[row], read.bends_in(row))
    made = run.segments[first : first + count]
    bends = " / ".join(angle_text(segment.angle_deg) for segment in made)
    legs = " / ".join(length_figure(segment.leg_mm, units) for segment in made)
    return say("shape.made", bends=bends, legs=legs, unit=units)


def _pad(c: Canvas, model: Model, shown: _Form, box: Box) -> None:
    if shown.on_ways:
        _ways(c, model, shown.typed, box)
        return
    own = (_back(shown, say("back")), face_key("answer", say("more")))
    keypad(c, box, acts.FORM, acts.entry_of(model), own)


def _ways(c: Canvas, model: Model, typed: ShapeTyped, box: Box) -> None:
    """The ways to the port, the best first: bends, tube, miss and room of each."""
    found = ways_of(model, typed)
    if not found:
        c.text(box.inset(8.0), say("shape.no-ways"), c.unit, "ink", "left", 4)
        return
    taken = _number_taken(model, typed)
    c.add(Fill(box, "ground"))
    across = 2 if c.small else 1
    places = cells(box, across, -(-MOST_WAYS // across))
    for number, (way, part) in enumerate(zip(found, places, strict=False), 1):
        edge: Role = "focus" if str(number) == taken else "rule"
        does = press(acts.choose_way, str(number))
        c.key(f"choose {number}", part, "", "key", edge=edge, does=does, choice=True)
        top, under = rows(part.inset(5.0), 1.0, 1.0)
        lines = max(1, int(top.h / c.unit + 0.15))
        c.text(top, _way_bends(model, way), c.unit, lines=lines)
        c.text(under, _way_room(model, way), c.unit, "quiet", lines=lines)


def _number_taken(model: Model, typed: ShapeTyped) -> str:
    """The place of the way that is taken among those listed; nothing when it is not there."""
    taken, found = way_in_hand(model, typed), enumerate(ways_of(model, typed), 1)
    return next((str(n) for n, way in found if taken is not None and way.run == taken.run), "")


def _way_bends(model: Model, way: Answer) -> str:
    bends = " / ".join(angle_text(s.angle_deg) for s in way.run.segments)
    tube = length_text(way.layout.cut_length_mm, model.draft.units)
    return say("shape.way", bends=bends, tube=tube)


def _way_room(model: Model, way: Answer) -> str:
    units = model.draft.units
    miss = length_text(miss_of_way(model, way).radius_mm, units)
    od_mm = model.draft.od_mm or (model.draft.bender.od_mm if model.draft.bender else 0.0)
    room = clearance_mm(way.path, od_mm)
    if room is None:
        return say("shape.way.miss", miss=miss)
    return say("shape.way.room", miss=miss, room=length_text(room, units))
