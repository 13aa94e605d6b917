"""Choose a shape by its name, then type what is known of it; the picture shows what is asked."""

from dataclasses import replace
from typing import NamedTuple

from benchcalc.core.finding import Finding
from benchcalc.core.ports import Answer
from benchcalc.panel.draft import DraftSheet
from benchcalc.panel.figures import angle_text, length_figure, length_text
from benchcalc.panel.grid import (
    Canvas,
    canvas,
    cells,
    columns,
    keypad,
    notice,
    rows,
    status_line,
)
from benchcalc.panel.keypad import has_unit, keys_for
from benchcalc.panel.language import number_shown, say
from benchcalc.panel.model import Model
from benchcalc.panel.reading import work_in_hand
from benchcalc.panel.scene import Box, Fill, Role, Scene
from benchcalc.panel.shape_forms import FORMS, Fault, asked_field, empty, read_shape
from benchcalc.panel.shape_picture import figure_picture
from benchcalc.panel.shaping import (
    against,
    clearance_mm,
    figure_of,
    miss_of_way,
    tried,
    way_in_hand,
    ways_of,
)
from benchcalc.panel.typed_shapes import ShapeKind, ShapeTyped, Shaping
from benchcalc.panel.wording import finding_says, headline, level_word

PER_PAGE, PER_SMALL_PAGE = 6, 3
"""Fields that are shown at a time."""

TOO_CLOSE = ("negative-straight", "straight-between")
"""Findings about the straight between two bends."""


def view(model: Model) -> Scene:
    """The names to choose from, or the form of the shape that was chosen."""
    typed = model.work.shaping.shape
    return _choices(model) if typed is None else _form(model, typed)


def open_shapes(model: Model) -> Model:
    """From the run to the choice of a shape."""
    missing = work_in_hand(model).missing
    draft = model.draft
    if draft.bender is None or draft.material is None or draft.wall_mm is None:
        return replace(model, refusal=say("plan.not-whole", missing=missing))
    return model.with_work(screen="shape", shaping=Shaping())


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
    """Each shape with its picture, its sizes such as they might be."""
    c = canvas(model)
    z = c.zones(strip=False)
    status_line(c, z.status, say("shape.title"), "benchcalc", model.trouble)
    body = c.below.inset(4.0)
    grid, low = rows(body, 4.0, 0.8)
    upright = c.size[1] > c.size[0]
    for kind, box in zip(FORMS, cells(grid, 1 if upright else 2, 8 if upright else 4), strict=True):
        c.key(f"choose {kind}", box, "")
        drawn = kind not in ("parallel", "port", "ports")
        name, picture = columns(box.inset(8.0), *((0.56, 0.44) if drawn else (1.0, 0.01)))
        top, under = rows(name, 0.5, 0.5)
        c.text(top, say(f"shape.{kind}"), min(top.h * 0.9, c.unit * 1.2))
        c.text(under, say(f"shape.{kind}.asks"), min(under.h * 0.9, c.unit), "quiet", lines=1)
        if drawn:
            typed = empty(kind, model.draft.units)
            figure = figure_of(model, typed, None)._replace(sizes=())
            shown = figure_picture(picture, model.draft, typed, None, figure, c.unit)
            c.add(shown._replace(ground="key"))
    leave, says = columns(low, 0.3, 0.7)
    c.key("leave", leave, say("back"), "key_act", min(low.h * 0.45, leave.w * 0.2))
    c.text(says.inset(6.0), model.refusal, c.unit, lines=2)
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
    """Picture, fields and what comes of them on one side, the keypad on the other."""
    c = canvas(model)
    z = c.zones()
    read, row = tried(model, typed)
    _, faults = read_shape(typed, model.draft.extras.angles == "included")
    at = model.work.shaping.field
    wrong = next((f.says for f in faults if f.field == at and typed.texts[at]), "")
    form = _Form(typed, at, faults, read, row, model.refusal or wrong)
    status_line(c, z.status, say(f"shape.{typed.kind}"), say("shape.asks"), model.trouble)
    figure = figure_of(model, typed, at)
    lit = None if form.on_ways else at
    if c.small:
        fields, rest = rows(z.answer, 0.27, 0.73)
        left, right = columns(rest, 0.6, 0.4)
        _fields(c, model, form, fields)
        if not form.on_ways:  # there is no room for it beside the ways
            c.add(figure_picture(right.inset(3.0), model.draft, typed, lit, figure, c.unit))
        _pad(c, model, form, rest if form.on_ways else left)
        says, acts = rows(z.strip, 0.42, 0.58)
        _comes(c, model, form, says, 1)
        _acts(c, model, acts)
    else:
        parts = rows(z.answer, *((0.46, 0.36, 0.18) if z.strip.h else (0.34, 0.34, 0.14, 0.18)))
        picture, fields, says = parts[:3]
        acts = rows(z.strip, 0.2, 0.8)[1] if z.strip.h else parts[3]
        c.add(Fill(picture.inset(2.0), "sheet", 6.0))
        c.add(figure_picture(picture.inset(4.0), model.draft, typed, lit, figure, c.unit))
        _fields(c, model, form, fields)
        _comes(c, model, form, says, 3)
        _pad(c, model, form, z.pad)
        _acts(c, model, acts)
    return c.scene()


def _fields(c: Canvas, model: Model, form: _Form, box: Box) -> None:
    """The fields about the one in hand, that one edged."""
    asked = FORMS[form.typed.kind]
    each = PER_SMALL_PAGE if c.small else PER_PAGE
    whole = [at for at in range(len(asked)) if asked[at].kind != "way"]
    shown = [form.at] if form.on_ways else whole[form.at // each * each :][:each]
    down = 1 if len(shown) <= 3 else 2
    for at, part in zip(shown, cells(box, -(-len(shown) // down), down), strict=False):
        _field(c, model, form, at, part)


def _field(c: Canvas, model: Model, form: _Form, at: int, box: Box) -> None:
    asked, text = FORMS[form.typed.kind][at], form.typed.texts[at]
    active = at == form.at
    face = box.inset(3.0)
    c.key(f"field {asked.key}", box, "", "sheet", edge="focus" if active else "rule")
    if active:
        c.add(Fill(Box(face.x, face.bottom - 5.0, face.w, 5.0), "focus", 3.0))
    head, value = rows(face.inset(5.0), 0.42, 0.58)
    spec = asked_field(asked, form.typed.unit, model.draft.extras.angles == "included")
    c.text(head, spec.name, min(head.h, c.unit * 0.95), "quiet")
    unit = ""
    if spec.kind in ("length", "place"):
        unit = "" if has_unit(text) else f" {form.typed.unit}"
    elif spec.kind in ("angle", "turn"):
        unit = "°"
    minus = "-" if spec.kind == "length" else "−"
    if asked.kind == "way":
        text = _number_taken(model, form.typed)
    shown = number_shown(text or asked.empty or "").replace("-", minus)
    says = shown + unit if shown else say("plan.leg.empty")
    c.text(value, says, min(value.h * 0.9, c.unit * 1.5), "ink" if text else "quiet")


def _comes(c: Canvas, model: Model, form: _Form, box: Box, lines: int) -> None:
    """What stands in the way, or what comes of the shape."""
    if form.says:
        notice(c, box, say("word.check"), form.says, "alarm", lines)
        return
    typed, read = form.typed, form.read
    if form.faults:
        c.text(box.inset(2.0), say(f"shape.{typed.kind}.how"), c.unit, "quiet", lines=lines)
        return
    if read.wrong and read.sheet is None:
        notice(c, box, say("word.check"), read.wrong[-1].says, "alarm", lines)
        return
    whole = typed.kind in ("parallel", "port", "ports")
    if not whole and not read.bends_in(form.row):  # a row before it is not complete
        c.text(box.inset(2.0), say("plan.not-whole", missing=read.missing), c.unit, lines=lines)
        return
    finding = against(read, form.row, whole)
    if finding is not None:
        role: Role = "alarm" if finding.level == "stop" else "sheet"
        says = "" if whole else _close(read, finding, form.row, c.small)
        if not says:
            says = headline(finding) if c.small else finding_says(finding, model.draft.units)
        notice(c, box, level_word(finding.level), says, role, lines)
    elif read.sheet is not None:
        c.text(box.inset(2.0), _made(read, form.row, whole), c.unit, lines=lines)


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
    keypad(c, box, captions, frozenset(hidden))


def _ways(c: Canvas, model: Model, typed: ShapeTyped, box: Box) -> None:
    """The ways to the port, the best first: bends, tube, miss and room of each."""
    found = ways_of(model, typed)
    if not found:
        c.text(box.inset(8.0), say("shape.no-ways"), c.unit, "ink", "left", 4)
        return
    taken = _number_taken(model, typed)
    for number, (way, part) in enumerate(zip(found, rows(box, *[1.0] * 4), strict=False), 1):
        edge: Role = "focus" if str(number) == taken else "rule"
        c.key(f"choose {number}", part, "", "key", edge=edge)
        top, under = rows(part.inset(8.0), 1.0, 1.0)
        size = min(top.h * 0.95, c.unit)
        c.text(top, _way_bends(model, way), size)
        c.text(under, _way_room(model, way), size, "quiet")


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


def _acts(c: Canvas, model: Model, box: Box) -> None:
    shaping = model.work.shaping
    names = ["leave"] if shaping.new else ["leave", "loosen"]
    if not shaping.new and shaping.shape is not None and shaping.shape.kind == "parallel":
        names.append("away")
    if shaping.asking:
        _sure(c, shaping.new, box)
        return
    *boxes, earlier, last = columns(box, *[1.0] * len(names), 0.6, 1.3)
    if shaping.field:
        c.arrow_key("earlier", earlier, left=True)
    for name, part in zip(names, boxes, strict=True):
        c.key(name, part, say(f"shape.{name}"), "key_act", part.h * 0.36, lines=2)
    c.key("take", last, say("shape.take"), "key_go", box.h * 0.4, lines=2)


def _sure(c: Canvas, new: bool, box: Box) -> None:
    """The second press, elsewhere than the first: taking lay right, loosening in the middle."""
    left, _, right = columns(box, 0.3, 0.36, 0.34)
    no, yes = (right, left) if new else (left, right)
    name = "replace" if new else "loosen"
    c.key("no", no, say("shape.no"), "key_go", box.h * 0.36, lines=2)
    c.key(f"yes {name}", yes, say(f"shape.{name}-sure"), "key_act", box.h * 0.36, lines=2)


def kind_of(name: str) -> ShapeKind | None:
    """The shape of this name, or None."""
    return next((kind for kind in FORMS if kind == name), None)
