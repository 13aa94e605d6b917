"""What a tap does while a piece is made: go on, go back, keep, scrap, store."""

from dataclasses import replace
from typing import Literal

from benchcalc.core.layout.turn_by_level import Lay
from benchcalc.core.sheet import Sheet
from benchcalc.panel.input.outcome_tone import outcome_tone
from benchcalc.panel.screens.aside.shelf import emptied, shelve
from benchcalc.panel.screens.piece_in_hand import Held, held, with_making
from benchcalc.panel.state.action import Acted
from benchcalc.panel.state.aiming.reaiming import aimed_after
from benchcalc.panel.state.aiming.turning import (
    level_read,
    turn_commands,
    turn_kept,
    turn_open,
)
from benchcalc.panel.state.in_hand import piece_in_hand
from benchcalc.panel.state.making.correcting import answer
from benchcalc.panel.state.making.judging import kept, left_good, measured
from benchcalc.panel.state.making.piece import Came
from benchcalc.panel.state.making.port_miss import came_out
from benchcalc.panel.state.making.record import Outcome, piece_record
from benchcalc.panel.state.making.sensing import (
    Settled,
    commands_for,
    may_settle,
    saw_no_pull,
    settled,
)
from benchcalc.panel.state.making.steps import (
    backward,
    forward,
    happened,
    next_piece,
    pull_reached,
    scrapping,
)
from benchcalc.panel.state.messages import AppendRun, Command, ReadPiece, SayFree, SendRecording
from benchcalc.panel.state.model import (
    Making,
    Model,
    PieceBefore,
    StepKind,
    Work,
    work_plain,
)
from benchcalc.report.told import told
from benchcalc.words.phrases import phrases


def to_plan(model: Model) -> Model:
    """To the run, which the piece goes by."""
    return replace(model.with_work(screen="plan"), face="answer")


def gone_on(model: Model, step: StepKind, place: int, certain: bool = False) -> Acted:
    """The step in hand is done; a key of another step, pressed late, does nothing.

    A pull that the sensor saw nothing of is asked about, unless ``certain``.
    """
    in_hand = held(model)
    making, sheet = in_hand.making, in_hand.sheet
    if (step, place) != (making.step, making.place):
        return model, ()
    if step == "pull" and not certain and saw_no_pull(model.sensor):
        return replace(model, asking="pull", refusal=told("make.pull.unseen")), ()
    if making.step == "good":
        return followed(model, in_hand, left_good(making, sheet))
    if making.step == "cut":  # a piece is made the way that was chosen when it was begun
        making = replace(making, re_aims=model.settings.re_aims)
    return followed(model, in_hand, forward(making, sheet))


def not_yet(model: Model) -> Model:
    """The act was not done yet: the step stays."""
    return replace(model, asking="")


def gone_back(model: Model) -> Acted:
    """The step before."""
    in_hand = held(model)
    back = backward(in_hand.making, in_hand.sheet)
    if back.step in ("turn", "level"):  # it is set anew
        back = turn_open(back, in_hand.sheet)
    return followed(model, in_hand, back)


def reached(model: Model) -> Acted:
    """The pull reached what is typed, or what was told. Raises Refused."""
    in_hand = held(model)
    return followed(model, in_hand, pull_reached(in_hand.making, in_hand.sheet))


def judged(model: Model, certain: bool = False) -> Acted:
    """The typed angle is taken; ``certain`` also where it was doubted. Raises Refused."""
    in_hand = held(model)
    return followed(model, in_hand, measured(in_hand.making, in_hand.sheet, certain))


def bend_kept(model: Model) -> Acted:
    """The bend in hand stays as it came out."""
    in_hand = held(model)
    return followed(model, in_hand, kept(in_hand.making, in_hand.sheet))


def seen(model: Model) -> Model:
    """What had to be seen was seen."""
    return with_making(model, replace(held(model).making, came=None))


def to_level(model: Model, lay: Lay | Literal[""] = "") -> Model:
    """Measure the turn in hand with a level, laid this way or the best."""
    making, _, sheet = held(model)
    at = making if making.step == "level" else happened(making, "level at hand")
    at = replace(turn_open(at, sheet), lay=lay, level_before="", typed="", came=None)
    return with_making(model, at)


def levelled(model: Model) -> Acted:
    """What the level shows is typed. Raises Refused."""
    in_hand = held(model)
    curves = model.settings.curves
    return followed(model, in_hand, level_read(in_hand.making, in_hand.sheet, curves))


def turn_stays(model: Model) -> Acted:
    """The turn stays as it was measured."""
    in_hand = held(model)
    return followed(model, in_hand, turn_kept(in_hand.making, in_hand.sheet))


def asked_why(model: Model) -> Model:
    """Ask why the piece is to be scrapped."""
    return with_making(model, scrapping(held(model).making))


def answered(model: Model, taken: bool) -> Model:
    """The correction that was offered is taken or left."""
    before, drawn, _ = held(model)
    return with_making(model, aimed_after(before, answer(before, drawn, taken), drawn))


def said_free(model: Model) -> Acted:
    """The operator says that the tube is free."""
    return model, (SayFree(),)


def sent(model: Model) -> Acted:
    """What the sensor said of the last bend, to a stick."""
    return model, (SendRecording(),)


def stored(model: Model) -> Acted:
    """The piece is done: into the log."""
    return model, (_append(model, "made", ""),)


def scrapped(model: Model, reason: str) -> Acted:
    """The piece is scrapped for this reason: into the log."""
    why = phrases("en")[f"make.scrap.{reason}"]  # a record reads the same wherever it was made
    return model, (_append(model, "scrapped", why),)


def _append(model: Model, outcome: Outcome, why: str) -> AppendRun:
    making, drawn, _ = held(model)
    record = piece_record(drawn, making, outcome, why, model.taught, model.today)
    follows = after_storing(model.work, 0, came_out(drawn, making))
    return AppendRun(record, work_plain(follows))


def followed(model: Model, before: Held, after: Making) -> Acted:
    """The model with the next step, what that asks of a sensor where there is one, and its tone."""
    after = aimed_after(before.making, after, before.drawn)
    return told_sensor(replace(model, face="keys", sent=None), before.making, after, before.sheet)


def told_sensor(model: Model, before: Making, after: Making, sheet: Sheet) -> Acted:
    """The model with the next step, what is asked of the sensors there are, and its tone."""
    commands: tuple[Command, ...] = ()
    if model.sensor is not None:
        commands = commands_for(before, after, sheet)
    following = model.with_work(making=after)
    if model.turn is not None and (now := piece_in_hand(following)) is not None:
        commands += turn_commands(before, after, now)
    return following, (*commands, *outcome_tone(model, after, sheet))


def bend_settled(model: Model, by_sensor: Settled) -> Acted:
    """The sensor says the bend in hand is final; counts until its step is left."""
    making, sheet = model.work.making, piece_in_hand(model)
    if making is None or sheet is None or not may_settle(making, sheet):
        return model, ()
    after = settled(making, sheet, by_sensor)
    return told_sensor(replace(model, refusal=None), making, after, sheet)


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
        follows = next_piece(making, making.piece + 1, sequence)
        return replace(work, making=replace(follows, came=Came("stored", making.piece)))
    return replace(work, screen="kept", making=replace(making, stored=sequence, came=None))


def one_more(model: Model) -> Model:
    """After the last piece: one more of it."""
    making = model.work.making
    if making is None:
        return model
    more = replace(model.draft, pieces=max(model.draft.pieces, making.piece + 1))
    again = next_piece(making, making.piece + 1, making.stored)
    return model.with_work(draft=more, making=again, screen="make")


def to_bench(model: Model) -> Model:
    """After the last piece: the bench, with nothing in hand."""
    return model.with_work(making=None, screen="bench")


def stored_piece(model: Model) -> Acted:
    """After the last piece: its record."""
    making = model.work.making
    return model, (ReadPiece(making.stored),) if making is not None else ()


def new_run(model: Model) -> Model:
    """An empty run on the same bench: bender, tube and lot stay; the run made is put aside."""
    return shelve(model, Work("plan", emptied(model.draft)))
