"""Whole jobs as the names of the targets that are tapped, from an empty panel on."""

from dataclasses import replace

from benchcalc.panel.draft import draft_of
from benchcalc.panel.model import Draft, Model, Work
from benchcalc.shell.files import asset_path, load_shop
from benchcalc.shell.job_file import load_job
from tests.panel.driver import Hands

SHOP = load_shop(None)


def typed(text: str, *after: str) -> tuple[str, ...]:
    return (*(f"key {character}" for character in text), *after)


BENCH = (
    "set bender", "more", "choose bench-10mm",
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

TO_FIRST_CHECK = ("next", "next", "next", "next")
"""It is cut, marked, seated, pulled; then the gauge is read."""

UNDER_THEN_GOOD = (*typed("88", "next"), "next", *typed("89.8", "next"))
TO_SECOND_CHECK = ("next", "next", "next", "next")
"""Marked, turned, seated, pulled."""

DOUBTED_THEN_OVER = (*typed("54", "next"), "back", "back", *typed("46.2", "next"), "keep")

JOB = (
    *BENCH, *RUN, "make", *TO_FIRST_CHECK, *UNDER_THEN_GOOD,
    *TO_SECOND_CHECK, *DOUBTED_THEN_OVER, "next",
)  # fmt: skip
"""One piece from an empty panel to a stored record: 88 is pulled again, 54 doubted, 46.2 kept."""


def demo_draft() -> Draft:
    return draft_of(load_job(asset_path("demo.yaml"), SHOP))


def with_draft(draft: Draft, size: tuple[int, int] = (800, 480), **extras: object) -> Hands:
    """Hands on the planning screen of a job that was opened."""
    changed = replace(draft, extras=replace(draft.extras, **extras))  # type: ignore[arg-type]
    return Hands(Model(SHOP, size, Work("plan", changed)))


def ready_to_make(run: tuple[str, ...] = RUN) -> Hands:
    return Hands().tap(*BENCH, *run, "make")
