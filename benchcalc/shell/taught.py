"""What this bench was taught and how its benders measured, from its records; nothing is shown."""

from pathlib import Path
from typing import Any, NamedTuple

from benchcalc.core.fit.expected_miss import UNCHECKED_GAUGE_DEG
from benchcalc.core.frozen import replace
from benchcalc.core.job import Job
from benchcalc.core.springback.calibration import as_aimed, as_tried
from benchcalc.core.springback.first_guess import Springback
from benchcalc.core.springback.learning import Taught, springback_of
from benchcalc.core.springback.lessons import (
    BEFORE,
    FIRST_PIECE,
    GAUGE_CHECK,
    PIECE,
    RESET,
    SCALE_CHECK,
    TRIAL,
    WORD,
    gauge_width,
    learn_record,
    subject,
    taught_of,
    taught_plain,
)
from benchcalc.jobfile.shop import Shop
from benchcalc.runlog.beside import Log
from benchcalc.runlog.chain import Entry
from benchcalc.runlog.reading import Damage, Records
from benchcalc.runlog.store import Store
from benchcalc.shell import clock

TAUGHT_SLOT, TAUGHT_VERSION = "taught", 2
"""Form 1 held what weights that were never looked at again had made of the bends; those benches
are learnt anew from their records."""

TEACHING = (PIECE, TRIAL, WORD, RESET, BEFORE, GAUGE_CHECK, SCALE_CHECK)


def load_taught(store: Records) -> Taught:
    """What this bench has been taught: as it was last kept, and what records say since then."""
    taught, upto = _kept_taught(store)
    for entry in store.records(after=upto):
        if entry.kind in TEACHING:
            taught = learn_record(taught, entry.sequence, entry.kind, entry.body, entry.day)
    return taught


def _kept_taught(store: Records) -> tuple[Taught, int]:
    """What was kept, and up to which record; nothing when there is none that can be read."""
    kept: Any = store.load_work(TAUGHT_SLOT)
    try:
        if kept["form"] != TAUGHT_VERSION:
            return Taught(), 0
        # The slot outlives a damaged file; the records that follow are then counted from 1 again.
        upto = int(kept["upto"]) if kept["device"] == store.device else 0
        return taught_of(kept), upto
    except (KeyError, TypeError, ValueError):
        return Taught(), 0


def refit(store: Records) -> Taught:
    """What the records teach, from the first one on; the same as what was kept."""
    taught = Taught()
    for entry in store.records():
        if entry.kind in TEACHING:
            taught = learn_record(taught, entry.sequence, entry.kind, entry.body, entry.day)
    return taught


def measured_shop(store: Records, shop: Shop) -> Shop:
    """The shop with every bender as its last trial bends measured it."""
    benders = {bender.key: bender for bender in shop.benders}
    for entry in _measuring(store):
        if bender := benders.get(entry.body["bender"]):
            measured = as_tried if entry.kind == TRIAL else as_aimed
            benders[bender.key] = measured(bender, entry.body)
    return replace(shop, benders=tuple(benders.values()))


def _measuring(store: Records) -> list[Entry]:
    """The records that measure benders, oldest first."""
    found = [*store.records(TRIAL), *store.records(FIRST_PIECE)]
    return sorted(found, key=lambda entry: entry.sequence)


class OnThisBench(NamedTuple):
    """A job on this bench, its springback, what could not be read for it, and how far the gauge may
    be off for every bend, 95 % limits."""

    job: Job
    learnt: Springback | None
    unread: list[Damage]
    gauge_deg: float


def as_this_bench(job: Job, folder: Path) -> OnThisBench:
    """A job on this bench: its bender as measured here, its springback as taught here, and its
    shapes and ports worked out with both.

    Also the records that could not be read for it. Where no log ever was the job stays as it is.
    Raises StoreError, NoWay, NotBeside.
    """
    store = Log.of(folder)
    if store is None:
        return OnThisBench(job, None, [], UNCHECKED_GAUGE_DEG)
    with store:
        shop = measured_shop(store, Shop((job.bender,), ()))
        job = replace(job, bender=shop.benders[0])
        about = subject(job.tube, job.bender, job.material)
        taught, today = load_taught(store), clock.today()
        learnt = springback_of(taught, about.key, about.theory, today)
        gauge_deg = gauge_width(taught.gauges.get("protractor"), today)
    if type(job) is not Job:  # most jobs are legs and bends alone and need no shapes
        from benchcalc.core.shapes.drawing import drawn_again

        job = drawn_again(job, learnt)
    return OnThisBench(job, learnt, store.damage, gauge_deg)


def keep_taught(store: Store, taught: Taught) -> None:
    """Keep what was taught, so that a start need not go through all records."""
    body: dict[str, Any] = {
        "form": TAUGHT_VERSION,
        "device": store.device,
        "upto": store.head()[0],
        **taught_plain(taught),
    }
    store.save_work(TAUGHT_SLOT, body)
