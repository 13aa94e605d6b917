"""A piece under way as it is told on the command line: ``--bent``, ``--turned``, ``--marked``."""

import argparse
from collections.abc import Callable, Iterable

from benchcalc.core.fit.so_far import SoFar
from benchcalc.core.job import Job
from benchcalc.core.lengths import LengthError, parse_length

EXAMPLES = {"--bent": "2=44.2", "--turned": "2=88.5", "--marked": "2=131.5"}
TOLD = {"--bent": "angle", "--turned": "turn", "--marked": "place"}


def add_options(parser: argparse.ArgumentParser) -> None:
    """The three options that tell how far a piece is made."""
    group = parser.add_argument_group("for a piece under way, each for as many bends as wanted")
    group.add_argument(
        "--bent", action="append", metavar="N=ANGLE",
        help="bend N came out at this angle: correct the rest",
    )  # fmt: skip
    group.add_argument(
        "--turned", action="append", metavar="N=ANGLE",
        help="bend N was turned so far from the bend made before it, signed like turn; "
        "bends made before it count as made as drawn",
    )  # fmt: skip
    group.add_argument(
        "--marked", action="append", metavar="N=PLACE",
        help="the mark of bend N, which is made, was really here, from the reference end",
    )  # fmt: skip
    group.add_argument(
        "--re-aim", action="store_true",
        help="leave the marks where they are drawn: re-aim the angles and turns to come",
    )  # fmt: skip


def so_far_of(given: argparse.Namespace, job: Job) -> SoFar | None:
    """How far the piece is made; None where nothing is told of one.

    Bends made before one that is named, and one whose mark is told, came out as drawn where nothing
    else is said of them. Raises ValueError with a sentence that begins with the option.
    """
    turned = _numbers("--turned", given.turned, float)
    marked = _numbers("--marked", given.marked, lambda text: _place_mm(text, job))
    bent = _numbers("--bent", given.bent, float)
    if not (bent or turned or marked):
        return None
    order = job.bending_order
    _look_up("--bent", bent, order)
    _look_up("--turned", turned, order)
    _look_up("--marked", marked, order)
    done = max(order.index(number) for number in {*bent, *turned, *marked})
    named = order[done]
    made = [*order[:done], *([named] if named in bent or named in marked else [])]
    drawn = {number: job.run.segments[number - 1].angle_deg for number in made}
    return SoFar({**drawn, **bent}, turned, marked)


def _numbers(
    option: str, words: Iterable[str] | None, value_of: Callable[[str], float]
) -> dict[int, float]:
    found: dict[int, float] = {}
    for text in words or ():
        number, _, value = text.partition("=")
        try:
            bend, told = int(number), value_of(value)
        except (ValueError, LengthError):
            what = f"write the bend and its {TOLD[option]}, {EXAMPLES[option]}"
            raise ValueError(f"{option} {text}: {what}") from None
        if bend in found:
            raise ValueError(f"{option} {text}: bend {bend} is told twice: tell it once")
        found[bend] = told
    return found


def _place_mm(text: str, job: Job) -> float:
    return float(parse_length(text, job.units).mm)


def _look_up(option: str, told: dict[int, float], order: tuple[int, ...]) -> None:
    for number in told:
        if number not in order:
            raise ValueError(f"{option}: bend {number}: the run has bends 1 to {len(order)}")
