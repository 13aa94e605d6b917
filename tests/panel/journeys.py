"""Whole jobs as the names of the targets that are tapped, from an empty panel on."""

from dataclasses import replace

from benchcalc.files.loading import asset_path, load_job, load_shop
from benchcalc.panel.state.draft import draft_of
from benchcalc.panel.state.model import Draft, Model, Work
from tests.panel.driver import Hands

SHOP = load_shop(None)


def typed(text: str, *after: str) -> tuple[str, ...]:
    return (*(f"key {character}" for character in text), *after)


BENCH = (
    "set bender", "choose bench-10mm",
    "set material", "choose 316",
    "set wall", *typed("1", "next"),
    "set lot", *typed("H4-7", "next"),
    "plan",
)  # fmt: skip

RUN = (
    *typed("120", "next"), *typed("90", "next"),
    *typed("85", "next"), *typed("45", "next"), *typed("90", "next"),
    *typed("160", "next"),
)  # fmt: skip

TO_FIRST_CHECK = ("next", "next", "next", "next", "next", "next")
"""It is cut, marked twice, seated, pulled as told; then the gauge is read."""

UNDER_THEN_GOOD = (*typed("88", "next"), "next", "next", *typed("89.8", "next"))
TO_SECOND_CHECK = ("next", "next", "next", "next")
"""Turned, seated, pulled as told."""

DOUBTED_THEN_OVER = (*typed("54", "next"), "back", "back", *typed("46.2", "next"), "keep")

JOB = (
    *BENCH, *RUN, "make", *TO_FIRST_CHECK, *UNDER_THEN_GOOD,
    *TO_SECOND_CHECK, *DOUBTED_THEN_OVER, "next",
)  # fmt: skip
"""One piece from an empty panel to a stored record: 88 is pulled again, 54 doubted, 46.2 kept."""


SHORT_JOB = (
    "set bender", "choose bench-10mm", "set material", "choose 316",
    "set wall", *typed("1", "next"), "plan", *RUN, "make",
    *TO_FIRST_CHECK, *typed("88", "next"), "next", "next", *typed("90", "next"),
    *TO_SECOND_CHECK, *typed("9", "next"), "back", *typed("47", "next"), "keep", "next",
)  # fmt: skip
"""Every kind of step with as few taps as will do."""


def shape(kind: str, *texts: str) -> tuple[str, ...]:
    """A shape chosen by its name and typed field by field; the last field's next puts it in."""
    fields = (tap for text in texts for tap in typed(text, "next"))
    return ("shape", f"choose {kind}", *fields)


SHAPES: dict[str, tuple[str, ...]] = {
    "offset": ("120", "60", "45", "90"),
    "rolling_offset": ("120", "40", "30", "45", ""),
    "saddle": ("260", "45", "60", ""),
    "flat_saddle": ("300", "50", "45", "60", ""),
    "u": ("160", "120", ""),
}
"""Each shape with what is typed into its form, an empty field left."""

PORT = ("300", "320", "140", "", "", "1")
PORTS = ("", "", "", "1", "", "", "300", "180", "120", "", "", "1")
LEG_AND_BEND = (*typed("120", "next"), *typed("90", "next"))


TRIAL = (*BENCH[:-1], "trial")


def bent(*texts: str) -> tuple[str, ...]:
    """A trial bend typed field by field (cut, two legs, angle, mark, pull) as far as given."""
    return (*(tap for text in texts for tap in typed(text, "next")), "add")


BENT_90 = bent("193.8", "120", "85", "90", "118.5", "92")[:-1]
"""An offcut of 10 mm tube: a gain of 11.2 mm, which is a finished radius of 26.1 mm.

Next on the last field adds it."""


def demo_draft() -> Draft:
    return draft_of(load_job(asset_path("demo.yaml"), SHOP))


def with_draft(draft: Draft, size: tuple[int, int] = (800, 480), **extras: object) -> Hands:
    """Hands on the planning screen of a job that was opened."""
    changed = replace(draft, extras=replace(draft.extras, **extras))  # type: ignore[arg-type]
    return Hands(Model(SHOP, size, Work("plan", changed)))


def ready_to_make(run: tuple[str, ...] = RUN) -> Hands:
    return Hands().tap(*BENCH, *run, "make")


def by_hand(hands: Hands) -> Hands:
    """The same hands where no bend re-aims the rest by itself: corrections are asked for."""
    settings = replace(hands.model.settings, re_aims=False)
    hands.model = replace(hands.model, settings=settings)
    return hands
