"""``benchcalc learn FROM``: what another bench was taught, for this one to begin from.

Its bends are taken over one by one and kept in this bench's log, each with its lot and day, so that
they are judged together with the bends made here. A bender of the same name with another die, or a
material with other figures, is another one: those bends stay out, and it is said.
"""

import json
from math import isclose
from pathlib import Path
from typing import Any, NamedTuple

from benchcalc.commands.parser import BAD, DONE, LACKS, STOPPED, parser_of, refuse
from benchcalc.core.springback.first_guess import Springback, first_guess
from benchcalc.core.springback.learning import Bent, Group, Kept, LotKey, Taught
from benchcalc.core.springback.lessons import BEFORE, key_plain, taught_of, theory_plain
from benchcalc.files.loading import config_folder, load_shop
from benchcalc.jobfile.bends import (
    MOST_AHEAD_DEG,
    MOST_ANGLE_DEG,
    MOST_BACK_DEG,
    MOST_PULL_DEG,
)
from benchcalc.jobfile.problems import BadFile
from benchcalc.jobfile.shop import Shop
from benchcalc.runlog.copies.verify import verify
from benchcalc.runlog.faults import StoreError
from benchcalc.runlog.store import Store
from benchcalc.shell import clock
from benchcalc.shell.taught import load_taught

TAUGHT_FILE = "springback.json"
SAME = 0.01
"""Two first guesses that differ by no more than this share are of the same die and metal."""

Lesson = dict[str, Any]


class Offered(NamedTuple):
    """What an export offers: its device, the bends that can be taken, what stays out and why."""

    device: str
    lessons: list[Lesson]
    left_out: list[str]


def run(words: list[str], state: Path) -> int:
    """Take them over; the exit code as the command line has them."""
    parser = parser_of(
        "learn",
        "Learn from another bench: the bends that its export tells of teach here too, "
        "from the next sheet on. The panel must be closed.",
    )
    parser.add_argument("source", type=Path, metavar="FROM", help="the folder of an export")
    given = parser.parse_args(words)
    try:
        offered = offered_by(given.source, load_shop(config_folder()))
        if isinstance(offered, str):
            return refuse(offered, BAD)
        with Store.open(state, clock.boot_id(), mend=False) as store:
            if offered.device == store.device:
                return refuse(f"{given.source} is a copy of this bench: it knows all that", BAD)
            taken, own = _taken(store, offered.device), _own(store)
            new = [
                one for one in offered.lessons if one["of"] not in taken and _what(one) not in own
            ]
            if new:
                body = {"form": 1, "from": offered.device, "lessons": new}
                store.append(BEFORE, body, clock.wall_time(), clock.clock_trusted())
    except BadFile as bad:
        return refuse(str(bad), BAD)
    except StoreError as error:
        return refuse(str(error), LACKS)
    before = len(offered.lessons) - len(new)
    print(f"Bends of bench {offered.device} learnt: {len(new)}.")
    if before:
        print(f"Learnt before: {before}.")
    for sentence in offered.left_out:
        print(sentence)
    return STOPPED if offered.left_out else DONE


def offered_by(folder: Path, shop: Shop) -> Offered | str:
    """What an export offers to a bench with these benders and materials; or why it offers none."""
    try:
        checked = verify(folder)
        text = (folder / TAUGHT_FILE).read_text("utf-8")
    except FileNotFoundError:
        return f"{folder}: no export, or one without {TAUGHT_FILE}: name the folder export made"
    except (OSError, UnicodeDecodeError):
        return f"{folder} cannot be read: try again, or make the export anew"
    if checked.verdict != "whole" or checked.head is None:
        return f"{folder} is not whole, `benchcalc verify {folder}` says why: export it anew"
    devices = {span.device for span in checked.head.spans}
    if len(devices) != 1:
        return f"{folder} holds {len(devices)} benches: learn from the export of one"
    try:
        taught = taught_of(json.loads(text))
    except (KeyError, TypeError, ValueError):
        return f"{folder}: {TAUGHT_FILE} is of a form that this program does not know"
    lessons, left_out = _lessons(taught, shop)
    return Offered(devices.pop(), lessons, left_out)


def _lessons(taught: Taught, shop: Shop) -> tuple[list[Lesson], list[str]]:
    lessons: list[Lesson] = []
    left_out: list[str] = []
    for group, bends in taught.groups.items():
        why = _another(group, bends.theory, shop)
        if why:
            left_out.append(f"Left out: {len(bends.kept)} bends on {group.size.bender}: {why}.")
            continue
        for one in bends.kept:
            if one.bent.counts is False or not _likely(one.bent):
                continue
            lessons.append(_lesson(group, bends.theory, one))
    return lessons, left_out


def _lesson(group: Group, theory: Springback, one: Kept) -> Lesson:
    """A kept bend as a record tells of it."""
    return {
        **key_plain(LotKey(group.size, one.lot)),
        "theory": theory_plain(theory),
        "loaded_deg": one.bent.loaded_deg,
        "released_deg": one.bent.released_deg,
        "loaded_read": group.read,
        "counted": 1.0,
        "day": one.day,
        "of": [one.sequence, one.number],
    }


def _likely(bent: Bent) -> bool:
    """Whether a tube can have been bent so: what a table of bends may say, too."""
    loaded, released = bent.loaded_deg, bent.released_deg
    pulled = 0 < loaded <= MOST_PULL_DEG and 0 <= released <= MOST_ANGLE_DEG
    return pulled and -MOST_AHEAD_DEG <= loaded - released <= MOST_BACK_DEG


def _another(group: Group, theory: Springback, shop: Shop) -> str:
    """Why the bends of a group are of no bender and metal here; empty where they are."""
    size = group.size
    bender, material = shop.bender(size.bender), shop.material(size.material)
    if bender is None:
        return "no bender of that name is here"
    if material is None:
        return f"{size.material} is no material here"
    if 2 * size.wall_mm >= size.od_mm:
        return "its wall leaves no bore"
    here = first_guess(size.tube(), bender, material)
    if isclose(here.b, theory.b, rel_tol=SAME) and isclose(here.a_deg, theory.a_deg, rel_tol=SAME):
        return ""
    return "its die or its metal has other figures there"


def _what(lesson: Lesson) -> tuple[object, ...]:
    """What a bend is known by wherever it is told of."""
    names = ("bender", "material", "od_mm", "wall_mm", "lot", "day", "loaded_deg", "released_deg")
    return tuple(lesson[name] for name in names)


def _own(store: Store) -> set[tuple[object, ...]]:
    """The bends that teach here already: a bench that learnt from this one tells them again."""
    return {
        _what(_lesson(group, bends.theory, one))
        for group, bends in load_taught(store).groups.items()
        for one in bends.kept
    }


def _taken(store: Store, device: str) -> list[list[int]]:
    """The bends of a bench that were taken over already."""
    return [
        lesson["of"]
        for entry in store.records(BEFORE)
        if entry.body.get("from") == device
        for lesson in entry.body["lessons"]
    ]
