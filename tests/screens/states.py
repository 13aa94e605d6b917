"""Every screen and step of the panel by name, reached by taps or by opening a job."""

import random
from collections.abc import Callable
from dataclasses import replace

from benchcalc.core.job import SlipOn
from benchcalc.core.springback.lessons import PIECE
from benchcalc.panel.state.messages import (
    CopyDone,
    CopyFailed,
    CopyProgress,
    LogSeen,
    MachineLooked,
    Message,
    SticksSeen,
    StoreFailed,
)
from benchcalc.panel.state.missing import Missing
from benchcalc.panel.state.model import Face, Model
from benchcalc.panel.update import update
from benchcalc.report.settings import Ruled, Settings
from benchcalc.report.told import verbatim
from tests.panel.driver import CHAIN_END, Hands, Kept
from tests.panel.journeys import (
    BENCH,
    JOB,
    SHOP,
    TO_FIRST_CHECK,
    TO_SECOND_CHECK,
    by_hand,
    demo_draft,
    typed,
    with_draft,
)
from tests.screens.clash_states import CLASHES
from tests.screens.help_states import HELPED
from tests.screens.length_states import LENGTHS
from tests.screens.machine_states import LACKS, MACHINES
from tests.screens.tapped_states import FAR_OVER, MAKE, TAPPED

Size = tuple[int, int]


def lot_of(number: int, lot: str, count: int) -> list[Kept]:
    """Pieces that teach a lot, each of two bends; the last but one slipped in the clamp."""
    record = Hands().tap(*JOB).records[0]
    dice = random.Random(number)
    log = []
    for piece in range(count):
        bends = []
        for place, bend in enumerate(record["bends"]):
            slipped = piece == count - 1 and place == 0
            loaded = round(bend["target_deg"] * dice.uniform(0.8, 1.4), 1)
            back = 0.3 + 0.02 * loaded + dice.gauss(0, 0.15) + (5.0 if slipped else 0.0)
            pull = {"pulled_to_deg": loaded, "released_deg": round(loaded - back, 1), "by": "hand"}
            bends.append({**bend, "pulls": [pull], "counted": 0.02 if slipped else 0.97})
        log.append(Kept(PIECE, {**record, "lot": lot, "bends": bends}))
    return log


def much_learnt(size: Size, *taps: str) -> Model:
    """Three lots, one of them of a bender that has left the shop, and a tube on the bench."""
    hands = Hands(Model(SHOP, size))
    gone = lot_of(3, "", 2)
    hands.log = lot_of(1, "H4-7", 9) + lot_of(2, "W2208", 1)
    hands.log += [kept._replace(body={**kept.body, "bender": "old hand bender"}) for kept in gone]
    hands.model = replace(hands.model, taught=hands.taught)
    return taps_on(hands, (*BENCH[:-1], "learnt", *taps))


def end_for_end(size: Size) -> Model:
    """The second bend is made with the far end held."""
    rows = demo_draft().rows
    rows = (rows[0], replace(rows[1], held="far"), *rows[2:])
    hands = with_draft(replace(demo_draft(), rows=rows), size, slip_on=SlipOn()).tap("make")
    while hands.shown != "check":
        hands.tap("next")
    return taps_on(hands, typed("90", "next"))


def off_at(size: Size, place: int, by_deg: int, *taps: str) -> Model:
    """The demo's job with the bend at ``place`` off, kept as it is; no bend re-aims the rest."""
    hands = by_hand(with_draft(demo_draft(), size)).tap("make")
    wanted = (90, 45, 45, 90)
    for at in range(place + 1):
        while hands.shown != "check":
            hands.tap("next")
        hands.type(str(wanted[at] + (by_deg if at == place else 0)), "next")
    return taps_on(hands, ("keep", *taps) if by_deg < 7 else ("take anyway", "keep", *taps))


def taps_on(hands: Hands, taps: tuple[str, ...]) -> Model:
    """Tap; on a small screen the keys that lie beside the answer are looked for there."""
    for name in taps:
        if hands.scene.target(name) is None and hands.scene.target("look"):
            hands.tap("look")
        hands.tap(name)
    return hands.model


def tapped(size: Size, taps: tuple[str, ...]) -> Model:
    return taps_on(Hands(Model(SHOP, size)), taps)


def opened(size: Size, *taps: str, **extras: object) -> Model:
    return taps_on(with_draft(demo_draft(), size, **extras), taps)


def findings(size: Size) -> Model:
    draft = replace(demo_draft(), od_mm=10.4, wall_mm=3.0)
    rows = tuple(replace(row, leg="20") for row in draft.rows)
    return taps_on(with_draft(replace(draft, rows=rows), size), ("findings",))


def in_trouble(size: Size) -> Model:
    says = "Records cannot be kept in /home/bench/.local/state/benchcalc: the disk is full: make "
    model = tapped(size, (*MAKE, "next"))
    return update(model, StoreFailed(verbatim(says + "room on it, then try again.")))[0]


def lacking(size: Size, *missing: Missing, taps: tuple[str, ...] = MAKE) -> Model:
    return update(tapped(size, taps), MachineLooked(missing))[0]


def gauged(size: Size, *taps: str) -> Model:
    """A measured screen, whose pixels are 3 % wider than high, and the bend held against it."""
    wide, high = (side * 0.19 for side in size)
    settings = Settings(ruled=Ruled(wide * 1.03, high, *size))
    hands = Hands(replace(Model(SHOP, size), settings=settings))
    return taps_on(hands, (*MAKE, *taps, "gauge"))


def measured(size: Size, name: str) -> Model:
    return replace(tapped(size, TAPPED[name]), settings=gauged(size, *TO_FIRST_CHECK[:-2]).settings)


A_STICK, TWO_STICKS = ("/media/STICK",), ("/media/ARCHIVE", "/media/STICK")
A_COPY = "benchcalc-3fa85f64-000003-000012"


def copying(
    size: Size,
    *taps: str,
    sticks: tuple[str, ...] = A_STICK,
    records: int = 12,
    copied: int = 2,
    news: tuple[Message, ...] = (),
) -> Model:
    """The copy screen of a log with so many records, some of them copied before."""
    hands = Hands(Model(SHOP, size)).hear(SticksSeen(A_STICK)).tap("copy")
    hands.hear(SticksSeen(sticks), LogSeen(records, CHAIN_END, copied)).tap(*taps)
    return hands.hear(*news).model


NOTED = CopyDone(
    10,
    A_COPY,
    (f"In the store itself these records do not match their hash: {', '.join('123456789' * 9)}.",),
)
STICK_IN = SticksSeen(A_STICK)
LET_GO = CopyDone(10, A_COPY, letting_go=True)
UNTAKEN = verbatim(
    "Nothing was copied to /media/STICK: it is not there: put it in and leave it in until the copy "
    "is done. The records here are untouched."
)
PULLED = CopyFailed(UNTAKEN)


def behind(model: Model, face: Face = "answer") -> Model:
    return replace(model, face=face)


def pressed(size: Size) -> Model:
    return replace(tapped(size, MAKE), pressed="next")


GOOD_PIECE = (*TO_FIRST_CHECK, *typed("90", "next"), *TO_SECOND_CHECK, *typed("45", "next"), "next")
TOLD = ("port", "unit", *typed("3.2", "next"), *typed("1.5", "next"), "port done")
LINE_OFF = ("port", "unit", *typed("0.8", "next"), "next", "next", *typed("0.8"), "port done")


def one_of_two(size: Size, *taps: str) -> Model:
    draft = replace(tapped(size, MAKE).work.draft, pieces=2)
    return with_draft(draft, size).tap("make", *GOOD_PIECE, *taps).model


PARTS = SlipOn("nut, front and back ferrule", "nut, front and back ferrule, bulkhead adapter")
OTHERS: dict[str, Callable[[Size], Model]] = {
    "plan opened": opened,
    "plan opened findings": lambda size: opened(size, "findings"),
    "plan inside angles": lambda size: opened(size, "later", angles="included"),
    "plan held far": lambda size: opened(size, "later", held="far"),
    "plan findings": findings,
    "plan answer": lambda size: replace(opened(size), face="answer"),
    "plan answer refused": lambda size: replace(
        tapped(size, TAPPED["plan bend refused"]), face="answer"
    ),
    "plan answer turned": lambda size: replace(opened(size, "later"), face="answer"),
    "plan nothing chosen": lambda size: Hands(Model(SHOP, size)).model.with_work(screen="plan"),
    "make slide": lambda size: opened(size, "make", "next", slip_on=PARTS),
    "make turn end for end": end_for_end,
    "make correct": lambda size: off_at(size, 0, 2),
    "make correct under": lambda size: off_at(size, 1, -3),
    "make correct points": lambda size: off_at(size, 2, 25),
    "make correct best": lambda size: tapped(size, (*MAKE, *TO_FIRST_CHECK, *FAR_OVER)),
    "make corrected": lambda size: off_at(size, 1, 3, "answer take"),
    "make corrected turn": lambda size: off_at(size, 1, 3, "answer take", "next"),
    "make corrected seat": lambda size: off_at(size, 1, 3, "answer take", "next", "next"),
    "make correction left": lambda size: off_at(size, 0, 2, "answer leave"),
    "make port": lambda size: one_of_two(size, *TOLD[:5]),
    "make port from behind": lambda size: one_of_two(size, *TOLD[:-1]),
    "make port refused": lambda size: one_of_two(size, "port", *typed("120", "next")),
    "make port tilted": lambda size: one_of_two(size, "port", "next", "next", "next", "unit"),
    "make aim": lambda size: one_of_two(size, *TOLD),
    "make aim suspects": lambda size: one_of_two(size, *LINE_OFF),
    "make aimed": lambda size: one_of_two(size, *TOLD, "answer pieces"),
    "make next cut": one_of_two,
    "trial results": lambda size: behind(tapped(size, TAPPED["trial several"])),
    "make calipers how": lambda size: behind(tapped(size, TAPPED["make calipers"])),
    "make port asked": lambda size: behind(one_of_two(size, *TOLD[:5])),
    "make aim causes": lambda size: behind(one_of_two(size, *LINE_OFF)),
    "make aim causes more": lambda size: behind(one_of_two(size, *LINE_OFF), "more"),
    "make correct changes": lambda size: behind(off_at(size, 0, 2)),
    "make correct changes more": lambda size: behind(off_at(size, 0, 2), "more"),
    "learnt lots": lambda size: behind(much_learnt(size)),
    "learnt many": much_learnt,
    "learnt outlier": lambda size: much_learnt(size, "bend before"),
    "learnt bender gone": lambda size: much_learnt(size, "lot before"),
    "make in trouble": in_trouble,
    "make lacks": lambda size: lacking(size, *LACKS),
    "bench lacks": lambda size: lacking(size, Missing("inputs"), taps=()),
    "gauge 90": lambda size: gauged(size, *TO_FIRST_CHECK[:-2]),
    "gauge 45": lambda size: gauged(size, *TO_FIRST_CHECK, *typed("90", "next"), "next", "next"),
    "gauge key": lambda size: measured(size, "make pull"),
    "make over measured": lambda size: measured(size, "make over"),
    "make nothing": lambda size: Hands(Model(SHOP, size)).model.with_work(screen="make"),
    "make pressed": pressed,
    **CLASHES,
    **HELPED,
    **LENGTHS,
    **MACHINES,
    "clash behind": lambda size: behind(CLASHES["clash order found"](size)),
    "copy behind": lambda size: behind(copying(size, "start", news=(NOTED,))),
    "bench stick": lambda size: Hands(Model(SHOP, size)).hear(SticksSeen(A_STICK)).model,
    "bench stick lacks": lambda size: update(lacking(size, *LACKS, taps=()), STICK_IN)[0],
    "copy": copying,
    "copy all": lambda size: copying(size, "what"),
    "copy first": lambda size: copying(size, copied=0),
    "copy two sticks": lambda size: copying(size, "other", sticks=TWO_STICKS),
    "copy no stick": lambda size: copying(size, sticks=()),
    "copy no records": lambda size: copying(size, records=0, copied=0),
    "copy nothing new": lambda size: copying(size, copied=12),
    "copy running": lambda size: copying(size, "start", news=(CopyProgress(0.374),)),
    "copy stopped": lambda size: copying(size, "start", "stop"),
    "copy done": lambda size: copying(size, "start", news=(CopyDone(10, A_COPY),)),
    "copy letting go": lambda size: copying(size, "start", news=(LET_GO,)),
    "copy take out": lambda size: copying(size, "start", news=(LET_GO, SticksSeen(()))),
    "copy kept": lambda size: copying(size, "start", news=(LET_GO, SticksSeen(A_STICK, A_STICK))),
    "copy with a note": lambda size: copying(size, "start", news=(NOTED,)),
    "copy failed": lambda size: copying(size, "start", news=(PULLED,)),
}  # fmt: skip

STATES = (*TAPPED, *OTHERS)


def state(name: str, size: Size) -> Model:
    return OTHERS[name](size) if name in OTHERS else tapped(size, TAPPED[name])
