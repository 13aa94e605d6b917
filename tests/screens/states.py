"""Every screen and step of the panel by name, reached by taps or by opening a job."""

from collections.abc import Callable
from dataclasses import replace

from benchcalc.core.parts import SlipOn
from benchcalc.panel.messages import StoreFailed
from benchcalc.panel.model import Model
from benchcalc.panel.update import update
from tests.panel.driver import Hands
from tests.panel.journeys import (
    BENCH,
    DOUBTED_THEN_OVER,
    JOB,
    RUN,
    SHOP,
    TO_FIRST_CHECK,
    TO_SECOND_CHECK,
    UNDER_THEN_GOOD,
    demo_draft,
    typed,
    with_draft,
)

Size = tuple[int, int]
MAKE = (*BENCH, *RUN, "make")
SECOND = (*MAKE, *TO_FIRST_CHECK, *UNDER_THEN_GOOD)

TAPPED: dict[str, tuple[str, ...]] = {
    "bench empty": (),
    "bench refused": ("plan",),
    "pick bender": ("set bender",),
    "pick bender page 2": ("set bender", "more"),
    "pick material": ("set material",),
    "pick tape": ("set tape",),
    "write od": ("set od",),
    "write wall": (*BENCH[:5], "set wall", *typed("0.7")),
    "write wall too thick": (*BENCH[:5], "set wall", *typed("5", "next")),
    "write wall nothing": (*BENCH[:5], "set wall", "next"),
    "write pieces": ("set pieces", *typed("12")),
    "write lot": ("set lot", *typed("H4-7")),
    "write name": ("set name",),
    "bench given": BENCH[:-1],
    "plan empty": BENCH,
    "plan leg": (*BENCH, *typed("120")),
    "plan own unit": (*BENCH, *typed("121", "unit")),
    "plan bend refused": (*BENCH, *typed("120", "next"), *typed("200", "next")),
    "plan next refused": (*BENCH, "next"),
    "plan one bend": (*BENCH, *typed("120", "next"), *typed("90")),
    "plan no crown": (*BENCH, *typed("120", "next"), *typed("45", "unit")),
    "plan second bend": (*BENCH, *RUN[: RUN.index("key 1", 8)]),
    "plan turn": (*BENCH, *RUN, "earlier", "field turn"),
    "plan negative turn": (*BENCH, *RUN, "earlier", "field turn", "key -"),
    "plan whole": (*BENCH, *RUN),
    "plan legs overlap": (*BENCH, *RUN, "earlier", *typed("20")),
    "plan stopped": (*BENCH, *RUN, "earlier", *typed("20"), "make"),
    "make cut": MAKE,
    "make mark": (*MAKE, "next"),
    "make seat": (*MAKE, "next", "next"),
    "make pull": (*MAKE, "next", "next", "next"),
    "make check": (*MAKE, *TO_FIRST_CHECK),
    "make check typed": (*MAKE, *TO_FIRST_CHECK, *typed("89.6")),
    "make check refused": (*MAKE, *TO_FIRST_CHECK, "next"),
    "make check doubted": (*MAKE, *TO_FIRST_CHECK, *typed("9", "next")),
    "make pull further": (*MAKE, *TO_FIRST_CHECK, *typed("88", "next")),
    "make mark second": SECOND,
    "make turn": (*SECOND, "next"),
    "make over": (*SECOND, *TO_SECOND_CHECK, *DOUBTED_THEN_OVER[:-1]),
    "make scrap": (*SECOND, "scrap"),
    "make store": JOB[:-1],
    "kept": JOB,
    "bench put aside": (*BENCH, *RUN, "bench", "new"),
    "bench half bent": (*SECOND, "plan", "bench", "set wall"),
    "plan half bent": (*SECOND, "plan", *typed("7")),
}


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
    """The demo's job, with four bends, parts to slide on and a long name."""
    return taps_on(with_draft(demo_draft(), size, **extras), taps)


def findings(size: Size) -> Model:
    """A run with something wrong at nearly every bend."""
    draft = replace(demo_draft(), od_mm=10.4, wall_mm=3.0)
    rows = tuple(replace(row, leg="20") for row in draft.rows)
    return taps_on(with_draft(replace(draft, rows=rows), size), ("minds",))


def in_trouble(size: Size) -> Model:
    says = "Records cannot be kept in /home/bench/.local/state/benchcalc: the disk is full: make "
    model = tapped(size, (*MAKE, "next"))
    return update(model, StoreFailed(says + "room on it, then try again."))[0]


def pressed(size: Size) -> Model:
    return replace(tapped(size, MAKE), pressed="next")


PARTS = SlipOn("nut, front and back ferrule", "nut, front and back ferrule, bulkhead adapter")
OTHERS: dict[str, Callable[[Size], Model]] = {
    "plan opened": opened,
    "plan opened minds": lambda size: opened(size, "minds"),
    "plan inside angles": lambda size: opened(size, "later", angles="included"),
    "plan held far": lambda size: opened(size, "later", held="far"),
    "plan findings": findings,
    "plan answer": lambda size: replace(opened(size), look=True),
    "plan answer refused": lambda size: replace(
        tapped(size, TAPPED["plan bend refused"]), look=True
    ),
    "plan answer turned": lambda size: replace(opened(size, "later"), look=True),
    "plan nothing chosen": lambda size: Hands(Model(SHOP, size)).model.with_work(screen="plan"),
    "make slide": lambda size: opened(size, "make", slip_on=PARTS),
    "make turn end for end": lambda size: opened(
        size, "make", "next", "next", "next", "next", "next", *typed("90", "next"), "next",
        order=(2, 1, 3, 4), held="far",
    ),
    "make in trouble": in_trouble,
    "make nothing": lambda size: Hands(Model(SHOP, size)).model.with_work(screen="make"),
    "make pressed": pressed,
}  # fmt: skip

STATES = (*TAPPED, *OTHERS)


def state(name: str, size: Size) -> Model:
    return OTHERS[name](size) if name in OTHERS else tapped(size, TAPPED[name])
