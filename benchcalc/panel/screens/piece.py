"""A stored piece as its record has it, with what was remarked on it later; another remark is added.

It lies over the screen it was opened from, so that a power cut comes back to that one. A remark
being typed belongs to the work in hand; it is gone from there only once it is a record.
"""

from dataclasses import replace
from typing import Any

from benchcalc.panel.figures import angle_text, decimal, size_text
from benchcalc.panel.grid import Canvas, canvas, columns, notice, rows, status_height, status_line
from benchcalc.panel.language import say, speaking
from benchcalc.panel.lessons import REMARK
from benchcalc.panel.messages import AppendRecord, Command, PieceRead, ReadPiece
from benchcalc.panel.model import Model, Writing, work_plain
from benchcalc.panel.record import remark_record
from benchcalc.panel.scene import Box, Scene
from benchcalc.panel.screens import write
from benchcalc.panel.screens.scrap import REASONS as SCRAP_REASONS

Acted = tuple[Model, tuple[Command, ...]]

SHOWN_REMARKS, SHOWN_ON_SMALL = 2, 1


def opened(model: Model, number: int) -> Acted:
    """Ask for the piece under this number in the log, or the newest before it; 0: the newest."""
    return model, (ReadPiece(number),)


def read(model: Model, message: PieceRead) -> Model:
    """The piece that was asked for; where there is none beside the one shown, that stays."""
    if message.entry is None and model.piece is not None and model.piece.entry is not None:
        return replace(model, refusal=say("piece.no-other"))
    return replace(model, piece=message)


def view(model: Model) -> Scene:
    """What the record says, then the remarks, then the keys."""
    c = canvas(model)
    width, height = model.size
    top = status_height(model.size)
    status = Box(0, 0, width, top)
    status_line(c, status, say("piece.title"), "benchcalc", model.trouble)
    body, low = rows(Box(0, top, width, height - top).inset(4.0), 2.6, 1.0)
    shown = model.piece
    if shown is None or shown.entry is None:
        c.text(body.inset(8.0), say("piece.none"), c.unit * 1.2, lines=3)
    else:
        _record(c, model, shown, body.inset(4.0))
    back, before, after, add = columns(low, 1.0, 0.8, 0.8, 1.6)
    c.key("cancel", back, say("back"), "key_act", min(low.h * 0.36, c.unit))
    if shown is not None and shown.entry is not None:
        c.arrow_key("earlier", before, left=True)
        c.arrow_key("later", after, left=False)
        c.key("remark", add, say("piece.remark"), "key_go", min(low.h * 0.36, c.unit), lines=2)
    return c.scene()


def _record(c: Canvas, model: Model, shown: PieceRead, box: Box) -> None:
    entry, units = shown.entry, model.draft.units
    body = entry["body"]
    head, made, tube, bends, remarks = rows(box, 1.2, 1.0, 1.0, 1.6, 3.0)
    name = body["name"] or say("bench.unnamed")
    count = {"piece": body["piece"], "pieces": body["pieces"]}
    c.text(head, say("piece.head", number=entry["sequence"], name=name, **count), c.unit * 1.15)
    c.text(made, f"{_outcome(body)}   {_when(entry)}", min(c.unit, made.h * 0.9), "quiet")
    od, wall = (size_text(body[side], units) for side in ("od_mm", "wall_mm"))
    lot = body["lot"] or say("learnt.no-lot")
    of = {"bender": body["bender"], "tube": f"{od} x {wall} {body['material']}", "lot": lot}
    c.text(tube, say("learnt.lot", **of), min(c.unit, tube.h * 0.9), "quiet")
    says = ",  ".join(_bend(bend) for bend in body["bends"])
    c.text(bends, says, min(c.unit, bends.h / 2.2), lines=2)
    if model.refusal:
        notice(c, rows(remarks, 0.5, 0.5)[0], say("word.check"), model.refusal, "sheet")
    else:
        _remarks(c, shown.remarks, remarks)


def _remarks(c: Canvas, remarks: tuple[Any, ...], box: Box) -> None:
    """The newest ones, the last below, and how many there are before them."""
    if not remarks:
        c.text(box, say("piece.no-remark"), min(c.unit, box.h / 3.2), "quiet", lines=3)
        return
    newest = remarks[-(SHOWN_ON_SMALL if c.small else SHOWN_REMARKS) :]
    before, *places = rows(box, 0.6, *[1.0] * len(newest))
    if len(newest) < len(remarks):
        earlier = say("piece.earlier", count=len(remarks) - len(newest))
        c.text(before, earlier, min(c.unit, before.h * 0.9), "quiet")
    for remark, part in zip(newest, places, strict=True):
        says = say("piece.remarked", number=remark["sequence"], text=_said(remark["body"]))
        c.text(part, says, min(c.unit, part.h / 2.2), lines=2)


def _said(body: dict[str, Any]) -> str:
    return f"{body['text']} ({body['operator']})" if body["operator"] else str(body["text"])


def _outcome(body: dict[str, Any]) -> str:
    if body["outcome"] == "made":
        return say("piece.made")
    with speaking("en"):  # as records have it
        reasons = {say(f"make.scrap.{reason}"): reason for reason in SCRAP_REASONS}
    reason = reasons.get(body["why"])
    return say("piece.scrapped", why=say(f"make.scrap.{reason}") if reason else body["why"])


def _when(entry: dict[str, Any]) -> str:
    """Date and time of the wall clock, in UTC; with a question mark when it was not trusted."""
    when = entry["wall_time"][:16].replace("T", " ")
    return f"{when} UTC" + ("" if entry["clock_trusted"] else "?")


def _bend(bend: dict[str, Any]) -> str:
    target, released = angle_text(bend["target_deg"]), bend["released_deg"]
    if released is None:
        return say("piece.not-measured", bend=target)
    off = released - bend["target_deg"]
    return f"{target} {'+' if off >= 0 else ''}{decimal(off, 1)}"


def act(model: Model, target: str) -> Acted:
    """The piece before or after, a remark on this one, or away."""
    shown = model.piece
    if target == "cancel" or shown is None or shown.entry is None:
        return replace(model, piece=None), ()
    number = shown.entry["sequence"]
    if target in ("earlier", "later"):
        return model, (ReadPiece(number, -1 if target == "earlier" else 1),)
    if target != "remark":
        return model, ()
    back = "kept" if model.work.screen == "kept" else "bench"
    writing = Writing("remark", about=number, back=back)  # type: ignore[arg-type]
    return replace(model.with_work(screen="write", writing=writing), piece=None), ()


def write_act(model: Model, target: str) -> Acted:
    """A key while something is typed with letters or digits; a remark is kept as a record."""
    writing = model.work.writing
    if writing.field != "remark":
        return write.act(model, target), ()
    if target == "cancel":
        return _left(model), (ReadPiece(writing.about),)
    if target != "next":
        return write.act(model, target), ()
    if not writing.typed.strip():
        return replace(model, refusal=say("write.remark.empty")), ()
    record = remark_record(writing.about, writing.typed.strip())
    return model, (AppendRecord(REMARK, record, work_plain(_left(model).work)),)


def stored(model: Model, about: int) -> Acted:
    """The remark is in the log: back to the piece that it is about."""
    return _left(model), (ReadPiece(about),)


def _left(model: Model) -> Model:
    return model.with_work(screen=model.work.writing.back, writing=Writing())
