"""A stored piece as its record has it, with what was remarked on it later; another remark is added.

It lies over the screen it was opened from, so that a power cut comes back to that one. A remark
being typed belongs to the work in hand; it is gone from there only once it is a record.
"""

from dataclasses import replace
from typing import Any

from benchcalc.core.fit.correction import Off
from benchcalc.panel.screens import write
from benchcalc.panel.screens.scrap import REASONS as SCRAP_REASONS
from benchcalc.panel.state.messages import Command, PieceRead, ReadPiece
from benchcalc.panel.state.model import Model, Writing
from benchcalc.panel.widgets.form_page import Key, Told, key_row, pages, tell
from benchcalc.panel.widgets.grid import (
    GAP,
    Canvas,
    canvas,
)
from benchcalc.panel.widgets.status_line import status_line
from benchcalc.report.boxes import (
    foot,
    rows,
)
from benchcalc.report.correction_text import off_says
from benchcalc.report.figures import angle_text, length_text, tube_text
from benchcalc.report.scene import Scene
from benchcalc.report.told import in_words
from benchcalc.words.language import say, speaking

Acted = tuple[Model, tuple[Command, ...]]


def opened(model: Model, number: int) -> Acted:
    """Ask for the piece under this number in the log, or the newest before it; 0: the newest."""
    return model, (ReadPiece(number),)


def read(model: Model, message: PieceRead) -> Model:
    """The piece that was asked for; where there is none beside the one shown, that stays."""
    if message.entry is None and model.piece is not None and model.piece.entry is not None:
        return replace(model, refusal=say("piece.no-other"))
    return replace(model, piece=message)


def view(model: Model) -> Scene:
    """What the record says and the remarks, page by page; then the keys."""
    c = canvas(model)
    status_line(c, c.status, say("piece.title"), "", model.trouble)
    shown = model.piece
    keys = [Key("cancel", say("back"))]
    room = foot(c.below, _keys_height(c))[0].inset(GAP)
    leaves = pages(c, room, [Told(says) for says in _sentences(model, shown)])
    if len(leaves) > 1:
        keys.append(Key("more", say("more")))
    if shown is not None and shown.entry is not None:
        remark = Key("remark", say("piece.remark"), "key_go")
        keys += [Key("earlier", ""), Key("later", ""), remark]
    tell(c, room, leaves[model.page % len(leaves)])
    low = foot(c.below, _keys_height(c))[1]
    if c.tall and len(keys) > 3:
        upper, low = rows(low, 1.0, 1.0)
        key_row(c, upper, keys[:-2])
        keys = keys[-2:]
    key_row(c, low, keys)
    return c.scene()


def _keys_height(c: Canvas) -> float:
    """One row of keys, or two on an upright screen."""
    return c.key_h * (2 if c.tall else 1)


def _sentences(model: Model, shown: PieceRead | None) -> list[str]:
    """The record, then what was remarked on it, the newest first."""
    if model.refusal:
        return [in_words(model.refusal)]
    if shown is None or shown.entry is None:
        return [say("piece.none")]
    entry, units = shown.entry, model.draft.units
    body = entry["body"]
    name = body["name"] or say("bench.unnamed")
    head = say("piece.head", number=entry["sequence"], name=name, piece=body["piece"],
               pieces=body["pieces"])  # fmt: skip
    od, wall = (tube_text(body[side], units) for side in ("od_mm", "wall_mm"))
    of = {"bender": body["bender"], "tube": f"{od} x {wall} {body['material']}"}
    tube = say("learnt.lot", lot=body["lot"] or say("learnt.no-lot"), **of)
    bends = ",  ".join(_bend(bend) for bend in body["bends"])
    if made := body.get("as_made"):
        apart = length_text(made["end_to_end_mm"], units)
        off = off_says(Off(made["missed_mm"], made["points_off_deg"]), units)
        tube += "   " + say("piece.as-made", apart=apart, off=off)
    told = [
        say("piece.remarked", number=remark["sequence"], text=_said(remark["body"]))
        for remark in reversed(shown.remarks)
    ]
    return [head, f"{_outcome(body)}   {_when(entry)}", tube, bends,
            *(told or [say("piece.no-remark")])]  # fmt: skip


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
    return say("piece.bend", bend=target, came=angle_text(released))


def act(model: Model, target: str) -> Acted:
    """The piece before or after, a remark on this one, or away."""
    shown = model.piece
    if target == "more":
        return replace(model, page=model.page + 1), ()
    model = replace(model, page=0)
    if target == "cancel" or shown is None or shown.entry is None:
        return replace(model, piece=None), ()
    number = shown.entry["sequence"]
    if target in ("earlier", "later"):
        return model, (ReadPiece(number, -1 if target == "earlier" else 1),)
    if target != "remark":
        return model, ()
    back = "kept" if model.work.screen == "kept" else "bench"
    left = model.work.writing  # typed and not taken: it is there again
    typed = left.typed if (left.field, left.about) == ("remark", number) else ""
    writing = Writing("remark", typed, fresh=not typed, about=number, back=back)  # type: ignore[arg-type]
    return replace(model.with_work(screen="write", writing=writing), piece=None), ()


def stored(model: Model, about: int) -> Acted:
    """The remark is in the log: back to the piece that it is about."""
    return write.remark_left(model), (ReadPiece(about),)
