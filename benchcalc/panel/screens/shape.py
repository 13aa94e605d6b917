"""Choose a shape by its name, then type what is known of it; the picture shows what is asked."""

from dataclasses import replace
from typing import NamedTuple

from benchcalc.core.finding import Finding
from benchcalc.core.shapes.ports import Answer
from benchcalc.panel.drawings.shape_picture import figure_picture
from benchcalc.panel.state.draft import DraftSheet, not_whole
from benchcalc.panel.state.fields import has_unit, keys_for
from benchcalc.panel.state.in_hand import work_in_hand
from benchcalc.panel.state.model import Model
from benchcalc.panel.state.shaping import (
    against,
    clearance_mm,
    figure_of,
    miss_of_way,
    tried,
    way_in_hand,
    ways_of,
)
from benchcalc.panel.state.typed_shapes import ShapeKind, ShapeTyped, Shaping
from benchcalc.panel.widgets.form_page import Key, form, form_status, key_row
from benchcalc.panel.widgets.grid import (
    GAP,
    Canvas,
    canvas,
    key_rows,
    notice,
    notice_lines,
    status_line,
)
from benchcalc.panel.widgets.keypad import keypad
from benchcalc.panel.widgets.shape_forms import FORMS, Fault, asked_field, empty, read_shape
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
from benchcalc.words.language import number_shown, say

MOST_WAYS = 4
"""Ways to a port that there is room for."""

TOO_CLOSE = ("negative-straight", "straight-between")
"""Findings about the straight between two bends."""


def view(model: Model) -> Scene:
    """The names to choose from, or the form of the shape that was chosen."""
    typed = model.work.shaping.shape
    return _choices(model) if typed is None else _form(model, typed)


def open_shapes(model: Model) -> Model:
    """From the run to the choice of a shape."""
    if not model.draft.chosen:
        return replace(model, refusal=not_whole(work_in_hand(model)))
    return model.with_work(screen="shape", shaping=Shaping(left=model.work.shaping.left))


def open_row(model: Model) -> Model:
    """From a row that is a shape to its fields."""
    typed = model.draft.rows[model.work.cursor.row].shape
    if typed is None:
        return model
    opened = model.with_work(screen="shape", shaping=Shaping(typed, new=False))
    if not typed.way or way_in_hand(opened, typed) is not None:
        return opened
    ways = len(typed.texts) - 1  # the way taken cannot be bent any more
    return model.with_work(screen="shape", shaping=Shaping(typed, ways, new=False))


def _choices(model: Model) -> Scene:
    """Each shape with its picture; the way back where the last one would lie."""
    c = canvas(model)
    status_line(c, c.status, in_words(model.refusal) or say("shape.title"), "", model.trouble)
    across, down = (2, 5) if c.tall else (3, 3)
    places = cells(c.below, across, down)
    for kind, box in zip(FORMS, places, strict=False):
        c.key(f"choose {kind}", box, "")
        face = box.inset(6.0)
        drawn = kind not in ("parallel", "port", "ports") and not c.small
        picture, name = rows(face, *((0.58, 0.42) if drawn else (0.01, 0.99)))
        c.text(name, say(f"shape.{kind}"), c.unit, "ink", "centre", 2 if drawn else 3)
        if drawn:
            typed = empty(kind, model.draft.units)
            figure = figure_of(model, typed, None)._replace(sizes=())
            shown = figure_picture(picture, model.draft, typed, None, figure, c.unit)
            c.add(shown._replace(ground="key"))
    c.key("leave", places[-1], say("back"), "key_act")
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
        key_row(c, places.field, _beside(model, shown))
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
    key_row(c, places.keys, _beside(model, shown))


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
    spec = asked_field(asked, typed.unit, model.draft.extras.angles == "included")
    unit = ""
    if spec.kind in ("length", "place"):
        unit = "" if has_unit(text) else f" {typed.unit}"
    elif spec.kind in ("angle", "turn"):
        unit = "°"
    minus = "-" if spec.kind == "length" else "\u2212"
    value = number_shown(text or asked.empty or "").replace("-", minus)
    says = value + unit if value else say("plan.leg.empty")
    if spec.kind == "number" and not text:
        says = say("shape.part.empty")
    name = f"{spec.name} {at + 1}/{len(typed.texts)}" if c.small else spec.name
    typed_field(c, box, name, says, bool(text), bool(shown.says) and bool(text))


def _beside(model: Model, shown: _Form) -> list[Key]:
    """The row beside the keypad: back a field or out, the second page, into the run."""
    shaping = model.work.shaping
    first = Key("earlier", "") if shaping.field else Key("leave", say("shape.leave"))
    take = Key("take", say("shape.take"), "key_go" if shown.on_ways else "key_act")
    return [first, Key("look", say("more")), take]


def _all_keys(model: Model) -> list[Key]:
    """What can be done with the whole shape."""
    shaping = model.work.shaping
    keys = [Key("leave", say("shape.leave")), Key("type", say("plan.type"))]
    if not shaping.new:
        keys.append(Key("loosen", say("shape.loosen")))
        if shaping.shape is not None and shaping.shape.kind == "parallel":
            keys.append(Key("away", say("shape.away")))
    return [*keys, Key("take", say("shape.take"), "key_go")]


def _sure(new: bool) -> list[list[Key]]:
    """The second press, and the way back where the first one was."""
    name = "replace" if new else "loosen"
    yes = Key(f"yes {name}", say(f"shape.{name}-sure"))
    return [[yes], [Key("no", say("shape.no"), "key_go")]]


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


def _pad(c: Canvas, model: Model, form: _Form, box: Box) -> None:
    if form.on_ways:
        _ways(c, model, form.typed, box)
        return
    asked, text = FORMS[form.typed.kind][form.at], form.typed.texts[form.at]
    field = asked_field(asked, form.typed.unit, model.draft.extras.angles == "included")
    hidden = {key for key in "./-" if key not in keys_for(field)}
    if not text:
        hidden.add("back")
    captions = {"back": say("key.back"), "next": say("key.next")}
    if field.kind in ("length", "place"):
        captions["unit"] = say("key.unit", unit="in" if form.typed.unit == "mm" else "mm")
    else:
        hidden.add("unit")
    first = ("earlier", "") if form.at else ("leave", say("back"))
    keypad(c, box, captions, frozenset(hidden), (first, ("look", say("more"))))


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
        c.key(f"choose {number}", part, "", "key", edge=edge)
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


def kind_of(name: str) -> ShapeKind | None:
    """The shape of this name, or None."""
    return next((kind for kind in FORMS if kind == name), None)
