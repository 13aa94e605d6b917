"""The panel's one door: a message and a model in, a model and commands out; and its one view."""

from collections.abc import Callable
from dataclasses import replace

from benchcalc.core.springback.lessons import (
    BEFORE,
    FIRST_PIECE,
    GAUGE_CHECK,
    PIECE,
    REMARK,
    SCALE_CHECK,
    TRIAL,
    learn_record,
)
from benchcalc.panel.input import (
    dark,
    keyboard,
    ring,
)
from benchcalc.panel.screens import (
    bench,
    check,
    clash,
    copying,
    findings,
    gauge,
    helping,
    kept,
    learnt,
    machine,
    made_before,
    make,
    making,
    pick,
    piece,
    plan,
    port,
    ruler,
    settings,
    shape,
    trial,
    widths,
    write,
)
from benchcalc.panel.screens.aside import asking, jobs
from benchcalc.panel.screens.turns import turning
from benchcalc.panel.state import (
    ordering,
)
from benchcalc.panel.state import (
    undo as undoing,
)
from benchcalc.panel.state.action import Acted, Action, carried_out
from benchcalc.panel.state.aiming.turn_news import TurnNews
from benchcalc.panel.state.caches import newest
from benchcalc.panel.state.in_hand import work_in_hand
from benchcalc.panel.state.making.port_miss import came_out
from benchcalc.panel.state.making.sensing import SHOWN_STEPS
from benchcalc.panel.state.messages import (
    BendSettled,
    Command,
    CopyDone,
    CopyFailed,
    CopyProgress,
    Darkened,
    KeyTyped,
    LessonsRead,
    LogSeen,
    MachineLooked,
    Message,
    MoreTaught,
    OrderFound,
    PieceRead,
    Plain,
    Pressed,
    RecordingSent,
    Released,
    RunStored,
    SaveWork,
    SensorSaw,
    SomethingBroke,
    SticksSeen,
    StoreFailed,
    StoreRecovered,
    ZeroTaken,
)
from benchcalc.panel.state.missing import LogLook
from benchcalc.panel.state.model import Model, ScreenName, SensorSeen, Work, work_plain
from benchcalc.panel.state.over import GaugeShown, HelpShown, MachineShown, Over, PieceShown
from benchcalc.panel.widgets.grid import lit
from benchcalc.report.scene import Scene, Target
from benchcalc.report.told import told
from benchcalc.report.units_shown import showing
from benchcalc.words.language import speaking

BROKE = (told("trouble.broke"),)

SCREENS: dict[ScreenName, Callable[[Model], Scene]] = {
    "bench": bench.view,
    "pick": pick.view,
    "write": write.view,
    "plan": plan.view,
    "shape": shape.view,
    "findings": findings.view,
    "clash": clash.view,
    "make": make.view,
    "kept": kept.view,
    "learnt": learnt.view,
    "trial": trial.view,
    "check": check.view,
    "before": made_before.view,
    "copy": copying.view,
    "settings": settings.view,
    "widths": widths.view,
    "jobs": jobs.view,
    "ruler": ruler.view,
}


def view(model: Model) -> Scene:
    """The screen that this model shows, in the language that is set."""
    if model.dark:
        return dark.view(model)
    scene = _at_rest(replace(model, pressed=None))
    return lit(scene, model.pressed) if model.pressed else scene


@newest
def _at_rest(model: Model) -> Scene:
    """The screen with no key pressed: pressing one changes nothing else."""
    scene = _shown(model)
    return scene if model.ring is None else ring.drawn(model, scene)


def _shown(model: Model) -> Scene:
    """The screen in the language and units that are set: here alone words are made."""
    with speaking(model.settings.language), showing(model.settings.units):
        return _on_top(model)


def _on_top(model: Model) -> Scene:
    match model.over:
        case None if model.asking == asking.ANEW:
            return asking.anew_view(model)
        case None:
            return SCREENS[model.work.screen](model)
        case HelpShown():
            return helping.view(model)
        case MachineShown(page):
            return machine.view(model, page)
        case PieceShown():
            return piece.view(model, model.over)
        case GaugeShown():
            return gauge.view(model)


def update(model: Model, message: Message) -> Acted:
    """What follows from one message.

    Work that changed is to be kept before the screen shows it: the command comes with the model.
    """
    if isinstance(message, Darkened):
        return (replace(model, dark=True, pressed=None) if dark.may_be_dark(model) else model), ()
    if model.dark and isinstance(message, Pressed | Released | KeyTyped):
        return model, ()
    if model.dark and dark.lights(model, message):
        model = replace(model, dark=False)
    after, commands = _heard(model, message)
    if after.pressed and not isinstance(message, Pressed) and _what(after) != _what(model):
        after = replace(after, pressed=None)  # what was under the finger is another thing now
    return after, commands


def _what(model: Model) -> tuple[Over | None, Work]:
    """What is shown, but for live values."""
    return (model.over, model.work)


def _heard(model: Model, message: Message) -> Acted:
    if isinstance(message, Pressed):
        return replace(model, pressed=message.target and message.target.name, ring=None), ()
    if isinstance(message, Released):
        hit, lifted = message.target, replace(model, pressed=None)
        return _act(lifted, hit) if hit and hit.name == model.pressed else (lifted, ())
    if isinstance(message, KeyTyped):
        return _typed(model, message.key)
    if isinstance(message, RunStored):
        after = _stored(model, message)
        return after, _saving(model, after)
    if isinstance(message, MoreTaught):
        return _told_more(model, message)
    if isinstance(message, LessonsRead):
        return learnt.read(model, message.lessons), ()
    if isinstance(message, PieceRead):
        return piece.read(model, message), ()
    if isinstance(message, TurnNews):
        after, commands = turning.heard(model, message)
        return after, (*_saving(model, after), *commands)
    if isinstance(message, SensorSaw):
        return _saw(model, message.seen), ()
    if isinstance(message, RecordingSent):
        return replace(model, sent=message.says), ()
    if isinstance(message, ZeroTaken):
        refusal = None if message.taken else told("sensor.not-still")
        return replace(model, refusal=refusal), ()
    if isinstance(message, BendSettled):
        after, commands = making.bend_settled(replace(model, over=None), message.settled)
        return after, (*_saving(model, after), *commands)
    if isinstance(message, SticksSeen):
        return replace(model, sticks=message.places, kept_sticks=message.kept), ()
    if isinstance(message, LogSeen | CopyProgress | CopyDone | CopyFailed):
        return copying.heard(model, message), ()
    if isinstance(message, OrderFound):
        return ordering.heard(model, message), ()
    if isinstance(message, StoreFailed):
        return replace(model, trouble=(message.says,)), ()
    if isinstance(message, SomethingBroke):
        return replace(model, trouble=BROKE), ()
    if isinstance(message, StoreRecovered):
        return replace(model, trouble=()), ()
    if isinstance(message, LogLook):
        return replace(model, log=message), ()
    if isinstance(message, MachineLooked):
        return replace(model, missing=message.missing), ()
    return model, ()


def _saw(model: Model, seen: SensorSeen) -> Model:
    """The live angle is kept only while a step shows it, so that nothing else is drawn anew."""
    in_hand = model.work.making
    shows = model.work.screen == "make" and in_hand is not None and in_hand.step in SHOWN_STEPS
    if not shows:
        seen = replace(SensorSeen(None, seen.stale, seen.zeroed), trouble=seen.trouble,
                       recorded=seen.recorded)  # fmt: skip
    return model if seen == model.sensor else replace(model, sensor=seen)


def _stored(model: Model, message: RunStored) -> Model:
    """A piece is in the store: on to what follows, a little wiser."""
    in_hand, drawn = model.work.making, work_in_hand(model).sheet
    before = came_out(drawn, in_hand) if drawn and in_hand else None
    after = replace(model, work=making.after_storing(model.work, message.sequence, before))
    return _taught(after, message.sequence, PIECE, message.record) if message.record else after


def _taught(model: Model, sequence: int, kind: str, record: Plain) -> Model:
    model = replace(model, taught=learn_record(model.taught, sequence, kind, record, model.today))
    if kind == FIRST_PIECE and record["bender_after"]:
        return port.kept(model, record)
    if kind == BEFORE:
        return made_before.kept(model)
    if kind in (GAUGE_CHECK, SCALE_CHECK):
        return check.kept(model)
    return trial.kept(model, record) if kind == TRIAL else model


def _told_more(model: Model, message: MoreTaught) -> Acted:
    """Another record than a piece is in the store; what is shown of it is read again."""
    if message.kind == REMARK:
        shown, commands = piece.stored(model, message.record)
        return shown, (*_saving(model, shown), *commands)
    after = _taught(model, message.sequence, message.kind, message.record)
    shown, commands = learnt.again(after) if after.work.screen == "learnt" else (after, ())
    return shown, (*_saving(model, shown), *commands)


def _act(model: Model, target: Target) -> Acted:
    """What a press does: the key carries it, and what it edited can be taken back."""
    if not isinstance(target.action, Action):
        return model, ()
    if target.action.aside:
        changed, commands = carried_out(target.action, model)
        return changed, (*_saving(model, changed), *commands)
    before = replace(model, refusal=None, asking="")  # they stand until the next act
    if model.trouble == BROKE:
        before = replace(before, trouble=())
    changed, commands = carried_out(target.action, before)
    if target.action.act is not asking.STARTS_ANEW and asking.loses_piece(before, changed):
        return replace(before, asking=asking.ANEW), ()
    changed = undoing.recorded(before, changed)
    return changed, (*_saving(model, changed), *commands)


def _saving(before: Model, after: Model) -> tuple[Command, ...]:
    """Work that changed is to be kept."""
    if after.work is before.work or after.work == before.work:
        return ()
    return (SaveWork(work_plain(after.work)),)


def _typed(model: Model, key: str) -> Acted:
    """A key of a keyboard does what the panel's key does, where the screen has that key.

    The arrows, and a knob, walk a ring from key to key, and Enter presses what it is on.
    """
    scene = _shown(model)
    if key in ring.ARROWS:
        return replace(model, ring=ring.walked(model, scene, ring.ARROWS[key])), ()
    if key == "enter" and model.ring is not None:
        on = ring.seat(model, scene)
        target = scene.target(on or "")
        if target is None:
            return model, ()
        pressed, commands = _act(model, target)
        ahead = target == keyboard.target_of(scene, "enter")
        return replace(pressed, ring="" if ahead else on), commands
    if len(key) == 1:
        model = replace(model, ring=None)
    target = keyboard.target_of(scene, key)
    return _act(model, target) if target else (model, ())
