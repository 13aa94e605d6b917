"""A stored piece as its record has it, with what was remarked on it later; another remark is added.

It lies over the screen it was opened from, so that a power cut comes back to that one. A remark
being typed belongs to the work in hand; it is gone from there only once it is a record.
"""

from dataclasses import replace
from typing import Any

from benchcalc.core.fit.correction import Off
from benchcalc.panel.screens import write
from benchcalc.panel.screens.scrap import REASONS as SCRAP_REASONS
from benchcalc.panel.state.action import Acted, press
from benchcalc.panel.state.acts import closed, turned_to_page
from benchcalc.panel.state.messages import PieceRead, ReadPiece
from benchcalc.panel.state.model import Model, ScreenName, Writing
from benchcalc.panel.state.over import PieceShown
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
from benchcalc.report.told import in_words, told
from benchcalc.words.language import say
from benchcalc.words.phrases import phrases


def read(model: Model, message: PieceRead) -> Model:
    """The piece that was asked for; where there is none beside the one shown, that stays."""
    if message.entry is None and isinstance(model.over, PieceShown) and model.over.read.entry:
        return replace(turned_to_page(model, 0), refusal=told("piece.no-other"))
    return replace(model, over=PieceShown(message))


def view(model: Model, shown: PieceShown) -> Scene:
    """What the record says and the remarks, page by page; then the keys."""
    c = canvas(model)
    status_line(c, c.status, say("piece.title"), "", model.trouble)
    keys = [Key("cancel", say("back"), does=press(closed), keys=("escape",))]
    room = foot(c.below, _keys_height(c))[0].inset(GAP)
    leaves = pages(c, room, [Told(says) for says in _sentences(model, shown.read)])
    at = min(shown.page, len(leaves) - 1)
    tell(c, room, leaves[at])
    if len(leaves) > 1:
        keys.append(Key("more", say("more"), does=press(turned_to_page, (at + 1) % len(leaves))))
    entry: dict[str, Any] | None = shown.read.entry
    if entry is not None:
        number = entry["sequence"]
        keys += [
            Key("earlier", "", does=press(_asked, number, -1), keys=("shift tab",)),
            Key("later", "", does=press(_asked, number, 1), keys=("tab",), right=True),
            Key("remark", say("piece.remark"), "key_go", press(_remarked, number)),
        ]
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


def _sentences(model: Model, shown: PieceRead) -> list[str]:
    """The record, then what was remarked on it, the newest first."""
    if model.refusal:
        return [in_words(model.refusal)]
    if shown.entry is None:
        return [say("piece.none")]
    entry: dict[str, Any] = shown.entry
    units = model.draft.units
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
    noted: tuple[dict[str, Any], ...] = shown.remarks
    remarks = [
        say("piece.remarked", number=remark["sequence"], text=_said(remark["body"]))
        for remark in reversed(noted)
    ]
    return [head, f"{_outcome(body)}   {_when(entry)}", tube, bends,
            *(remarks or [say("piece.no-remark")])]  # fmt: skip


def _said(body: dict[str, Any]) -> str:
    return f"{body['text']} ({body['operator']})" if body["operator"] else str(body["text"])


def _outcome(body: dict[str, Any]) -> str:
    if body["outcome"] == "made":
        return say("piece.made")
    reasons = {phrases("en")[f"make.scrap.{reason}"]: reason for reason in SCRAP_REASONS}
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


def _asked(model: Model, number: int, step: int) -> Acted:
    """Ask for the piece before or after this one."""
    return model, (ReadPiece(number, step),)


def _remarked(model: Model, number: int) -> Model:
    """Write a remark on this piece."""
    back: ScreenName = "kept" if model.work.screen == "kept" else "bench"
    left = model.work.writing  # typed and not taken: it is there again
    typed = left.typed if (left.field, left.about) == ("remark", number) else ""
    writing = Writing("remark", typed, fresh=not typed, about=number, back=back)
    return closed(model.with_work(screen="write", writing=writing))


def stored(model: Model, remark: dict[str, Any]) -> Acted:
    """The remark is in the log: back to the piece that it is about."""
    return write.remark_left(model), (ReadPiece(remark["about"]),)
