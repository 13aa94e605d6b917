"""What help there is for every screen, step and field: its picture, mistakes, cautions."""

from collections.abc import Callable
from typing import NamedTuple

from benchcalc.panel.help import making_pictures as making
from benchcalc.panel.help import pictures as run
from benchcalc.panel.help.plate import Plate
from benchcalc.panel.state.model import Making, Model
from benchcalc.panel.state.over import GaugeShown, HelpShown, MachineShown, PieceShown
from benchcalc.panel.state.shape_forms import FORMS
from benchcalc.panel.state.trials import U_FIELDS
from benchcalc.panel.state.typed_shapes import Shaping

THREE = ("first", "second", "third")
FINGERS, BURRS, SEAM, PEN = "caution.1", "caution.2", "caution.3", "caution.4"
NEVER_BACK, PRESSURE = "caution.5", "caution.6"
SHARP, SWING, SPRINGS = "help.mind.ends", "help.mind.swing", "help.mind.springs"
KINKED = "help.mind.kinked"


class Help(NamedTuple):
    """One thing that is helped with: who draws its picture; mistakes, cautions by their phrases.

    Its sentences are ``help.TOPIC.for`` and, for each mistake, ``help.TOPIC.MISTAKE``.
    """

    draw: Callable[[Plate], None]
    mind: tuple[str, ...] = ()
    wrong: tuple[str, ...] = ("first", "second")


HELP: dict[str, Help] = {
    "bench": Help(run.signs, (FINGERS, PRESSURE)),
    "pick-bender": Help(run.bender, (FINGERS,)),
    "pick-material": Help(run.stretch, (PRESSURE,)),
    "pick-tape": Help(run.tape),
    "write-od": Help(run.outside, (SHARP,)),
    "write-wall": Help(run.wall, (PRESSURE,)),
    "write-lot": Help(run.stamped),
    "write-pieces": Help(run.alike),
    "write-name": Help(run.named),
    "plan-leg": Help(run.leg),
    "plan-bend": Help(run.bend),
    "plan-turn": Help(run.turn, wrong=THREE),
    "plan-shape": Help(run.offset),
    "shape": Help(run.saddle),
    "shape-offset": Help(run.offset),
    "shape-rolling-offset": Help(run.rolling_offset),
    "shape-saddle": Help(run.saddle),
    "shape-flat-saddle": Help(run.flat_saddle),
    "shape-u": Help(run.u),
    "shape-parallel": Help(run.beside),
    "shape-port": Help(run.port),
    "shape-ports": Help(run.ports),
    "shape-ways": Help(run.ways),
    "findings": Help(run.findings, (PRESSURE,)),
    "clash": Help(run.clash, (SWING,)),
    "make-cut": Help(making.cut, (SHARP, BURRS)),
    "make-slide": Help(making.slide, (SHARP,)),
    "make-mark": Help(making.mark, (PEN,)),
    "make-re-mark": Help(making.re_mark, (PEN,)),
    "make-turn": Help(making.turn, (SWING,)),
    "make-level": Help(making.level, (SWING,)),
    "make-level-across": Help(making.level_across, (SWING,)),
    "make-seat": Help(run.seat, (SEAM, FINGERS), THREE),
    "make-pull": Help(making.pull, (FINGERS, SWING, SPRINGS), THREE),
    "make-again": Help(making.again, (FINGERS, SPRINGS)),
    "make-reached": Help(making.pull, (FINGERS,)),
    "make-check": Help(making.check, (SPRINGS,), THREE),
    "make-good": Help(making.check, (SPRINGS,)),
    "make-over": Help(making.over, (NEVER_BACK,)),
    "make-correct": Help(making.correct, (PRESSURE,)),
    "make-scrap": Help(making.scrap, (KINKED,)),
    "make-store": Help(run.fitted, (PRESSURE,)),
    "make-calipers": Help(making.calipers, (PRESSURE,)),
    "make-port": Help(making.missed),
    "make-port-ahead": Help(making.short),
    "make-port-tilt": Help(making.tilted),
    "make-aim": Help(making.correct),
    "kept": Help(run.alike, (BURRS, PRESSURE)),
    "jobs": Help(making.tagged),
    "piece": Help(making.tagged),
    "write-remark": Help(making.tagged),
    "learnt": Help(making.learnt),
    "trial": Help(making.trial, (FINGERS,)),
    "trial-u": Help(making.trial_u, (FINGERS,)),
    "check": Help(making.square),
    "before": Help(making.learnt),
    "copy": Help(making.copy),
    "settings": Help(making.settings),
    "widths": Help(making.widths),
    "ruler": Help(making.ruler),
    "gauge": Help(making.gauge, (SHARP,)),
    "machine": Help(making.machine),
}


OVER = {MachineShown: "machine", GaugeShown: "gauge", PieceShown: "piece"}


def topic_of(model: Model) -> str:
    """What help is asked for: that of the screen, step or field in hand."""
    over = model.over.under if isinstance(model.over, HelpShown) else model.over
    if over is not None:
        return OVER[type(over)]
    work = model.work
    if work.screen in ("pick", "write"):
        return f"{work.screen}-{work.writing.field}"
    if work.screen == "plan":
        shaped = work.draft.rows[work.cursor.row].shape is not None
        return "plan-shape" if shaped else f"plan-{work.cursor.field}"
    if work.screen == "shape":
        return _of_shape(work.shaping)
    if work.screen == "make":
        return _of_step(work.making)
    if work.screen == "trial":
        return "trial-u" if work.trials.fields == U_FIELDS else "trial"
    return work.screen


def _of_shape(shaping: Shaping) -> str:
    """The shape's, but for a turn and for the ways to a port, which have their own."""
    if shaping.shape is None:
        return "shape"
    asked = FORMS[shaping.shape.kind][shaping.field]
    own = {"turn": "plan-turn", "way": "shape-ways"}.get(asked.key)
    return own or f"shape-{shaping.shape.kind.replace('_', '-')}"


def _of_step(making: Making | None) -> str:
    """The step's; a further pull, and each way to miss a port, have their own."""
    if making is None:
        return "make-cut"
    if making.step in ("largest", "smallest"):
        return "make-calipers"
    if making.step == "level" and (making.lay == "across" or making.level_before):
        return "make-level-across"
    if making.step == "pull" and making.came:
        return "make-again"
    if making.step == "port" and making.port.field not in ("up", "right"):
        return "make-port-ahead" if making.port.field == "ahead" else "make-port-tilt"
    return f"make-{making.step}"
