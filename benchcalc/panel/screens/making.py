"""What a tap does while a piece is made: go on, go back, measure, keep, scrap, store."""

from dataclasses import replace
from typing import Any

from benchcalc.core.sheet import Sheet
from benchcalc.panel.input.outcome_tone import outcome_tone
from benchcalc.panel.screens import calipers, correct, gauge, port, scrap
from benchcalc.panel.screens.bench import shelve
from benchcalc.panel.screens.make import GAUGED
from benchcalc.panel.state.correcting import answer
from benchcalc.panel.state.fields import Refused, type_key
from benchcalc.panel.state.in_hand import piece_in_hand, work_in_hand
from benchcalc.panel.state.making import (
    MEASURED,
    backward,
    forward,
    measured,
    next_piece,
    scrapping,
    settle,
)
from benchcalc.panel.state.messages import AppendRun, Command, ReadPiece, SayFree
from benchcalc.panel.state.model import (
    Draft,
    Making,
    Model,
    PieceBefore,
    Row,
    Verdict,
    Work,
    work_plain,
)
from benchcalc.panel.state.port_miss import came_out
from benchcalc.panel.state.record import piece_record
from benchcalc.panel.state.sensing import Settled, commands_for, settled
from benchcalc.panel.widgets.form_page import TURNS, turned
from benchcalc.words.language import say, speaking

Acted = tuple[Model, tuple[Command, ...]]


def act(model: Model, target: str) -> Acted:
    """One tap on the screen that makes a piece."""
    making, drawn, sheet = model.work.making, work_in_hand(model).sheet, piece_in_hand(model)
    if target == "plan" or making is None or drawn is None or sheet is None:
        return replace(model.with_work(screen="plan"), refusal="", face="answer"), ()
    if target in TURNS:
        return turned(model, target), ()
    model = replace(model, refusal="", face="more" if target == "more" else "keys")
    if target == "gauge" and making.step in GAUGED:
        return gauge.laid_over(model), ()
    if making.step in ("port", "aim") or target == "port":
        return port.act(model, making, drawn, target)
    if target == "next" and making.step == "store":
        return model, (_append(model, drawn, making, "made", ""),)
    if target.startswith("because ") and making.step == "scrap":
        reason = target.removeprefix("because ")
        if reason in scrap.REASONS:
            with speaking("en"):  # records read the same wherever they were made
                why = say(f"make.scrap.{reason}")
            return model, (_append(model, drawn, making, "scrapped", why),)
    if target in correct.ANSWERS and making.step == "correct":
        return model.with_work(making=answer(making, drawn, correct.ANSWERS[target])), ()
    if target == "free" and model.sensor is not None:
        return model, (SayFree(),)
    try:
        if making.step in ("largest", "smallest"):
            return model.with_work(making=calipers.moved(model, making, sheet, target)), ()
        return _followed(model, making, _moved(making, sheet, target), sheet)
    except Refused as refused:
        return replace(model, refusal=refused.said), ()


def _followed(model: Model, before: Making, after: Making, sheet: Sheet) -> Acted:
    """The model with the next step, what that asks of a sensor where there is one, and its tone."""
    commands = commands_for(before, after, sheet) if model.sensor is not None else ()
    return model.with_work(making=after), (*commands, *outcome_tone(model, after, sheet))


def bend_settled(model: Model, by_sensor: Settled) -> Acted:
    """The sensor says the bend in hand is final; counts only while it is pulled or checked."""
    making, sheet = model.work.making, piece_in_hand(model)
    if making is None or sheet is None or making.step not in ("pull", "check"):
        return model, ()
    return _followed(replace(model, refusal=""), making, settled(making, sheet, by_sensor), sheet)


def _moved(making: Making, sheet: Sheet, target: str) -> Making:
    if target == "step back" or (target == "unit" and making.step == "check"):
        return backward(making, sheet)
    if target == "seen":
        return replace(making, says="")
    if target == "calipers" and calipers.measurable(making):
        return calipers.opened(making)
    if target == "scrap" and making.step not in ("slide", "cut", "scrap"):
        return scrapping(making)
    if target == "keep" and making.step == "over":
        return settle(making, sheet, "accepted over" if _is_over(making, sheet) else KEPT_UNDER)
    if target == "keep" and making.step == "pull" and making.says:
        return settle(making, sheet, KEPT_UNDER)
    if making.step == "check":
        return _checking(making, sheet, target)
    return forward(making, sheet) if target == "next" else making


KEPT_UNDER: Verdict = "accepted under"
"""The verdict when the operator keeps a bend that did not reach its angle."""


def _is_over(making: Making, sheet: Sheet) -> bool:
    bend = sheet.layout.in_order[making.place]
    pulls = next(m.pulls for m in making.made if m.number == bend.number)
    return (pulls[-1].released_deg or 0.0) > bend.angle_deg


def _checking(making: Making, sheet: Sheet, target: str) -> Making:
    if target.startswith("key "):
        return _typed(making, type_key(MEASURED, making.typed, target[4:]))
    if target == "back":
        return _typed(making, making.typed[:-1])
    if target == "next":
        return measured(making, sheet)
    if target == "take anyway" and making.says:
        return measured(making, sheet, certain=True)
    return making


def _typed(making: Making, text: str) -> Making:
    return replace(making, typed=text, says="")


def _append(model: Model, drawn: Sheet, making: Making, outcome: Any, why: str) -> AppendRun:
    record = piece_record(drawn, making, outcome, why, model.taught)
    follows = after_storing(model.work, 0, came_out(drawn, making))
    return AppendRun(record, work_plain(follows))


def after_storing(work: Work, sequence: int, before: PieceBefore | None) -> Work:
    """The work that follows a stored piece: the next one, the same again, or all are made.

    ``sequence`` is its number in the log, 0 while that is not known; ``before`` is the piece as it
    came out.
    """
    making = work.making
    if making is None:
        return work
    if making.step == "scrap":
        return replace(work, making=next_piece(making, making.piece, sequence))
    making = replace(making, before=before)
    if making.piece < work.draft.pieces:
        told = say("make.cut.stored", piece=making.piece)
        follows = next_piece(making, making.piece + 1, sequence)
        return replace(work, making=replace(follows, says=told))
    return replace(work, screen="kept", making=replace(making, stored=sequence, says=""))


def kept_act(model: Model, target: str) -> Acted:
    """After the last piece: one more of it, another run, or the bench."""
    making = model.work.making
    if target == "one more" and making is not None:
        more = replace(model.draft, pieces=max(model.draft.pieces, making.piece + 1))
        again = next_piece(making, making.piece + 1, making.stored)
        return model.with_work(draft=more, making=again, screen="make"), ()
    if target == "bench":
        return model.with_work(making=None, screen="bench"), ()
    if target == "piece" and making is not None:
        return model, (ReadPiece(making.stored),)
    return (_new_run(model), ()) if target == "new" else (model, ())


def _new_run(model: Model) -> Model:
    """An empty run on the same bench: bender, tube and lot stay; the run made is put aside."""
    draft = replace(
        Draft(rows=(Row(unit=model.draft.units),)),
        bender=model.draft.bender,
        material=model.draft.material,
        od_mm=model.draft.od_mm,
        wall_mm=model.draft.wall_mm,
        lot=model.draft.lot,
        units=model.draft.units,
        tape=model.draft.tape,
    )
    return shelve(model, Work("plan", draft))
