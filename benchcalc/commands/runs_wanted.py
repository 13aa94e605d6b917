"""Which pieces a list is asked for: the last, since a day, of a lot, a tube, a bender, a name."""

import argparse
import re
from typing import Any, NamedTuple

from benchcalc.commands.refusal import BadUse
from benchcalc.core.lengths import LengthError, parse_length
from benchcalc.jobfile.bends import is_day
from benchcalc.runlog.beside import Log
from benchcalc.runlog.body import read_body
from benchcalc.runlog.chain import Entry
from benchcalc.runlog.records import PIECE

TUBE = re.compile(
    r"(?P<od>[^x]+?)(?: *x *(?P<wall>[^x]*?[0-9](?: ?(?:mm|in|\"))?))?(?: +(?P<of>\S+))?"
)
SAME_MM = 0.02


class TubeAsked(NamedTuple):
    """What is asked of a tube; None and an empty text ask for nothing."""

    od_mm: float
    wall_mm: float | None
    material: str


class RunsWanted(NamedTuple):
    """What is asked of a piece. Texts are compared without regard to capitals."""

    last: int | None
    since: str | None
    lot: str | None
    tube: TubeAsked | None
    bender: str | None
    name: str | None

    @property
    def chosen(self) -> bool:
        """Whether pieces are left out that do not match."""
        return any(one is not None for one in self[1:])

    def takes(self, entry: Entry, log: Log) -> bool:
        """Whether a piece is wanted; a remark is, where the piece is that it is about."""
        if not self.chosen:
            return True
        if entry.kind == PIECE:
            return self._like(entry.wall_time, entry.body)
        about = log.one(int(entry.body["about"]))
        if about is None or about.wrong or about.record.kind != PIECE:
            return False
        return self._like(about.record.wall_time, read_body(about.record.body))

    def _like(self, wall_time: str, body: dict[str, Any]) -> bool:
        return (
            (self.since is None or wall_time[:10] >= self.since)
            and _same(self.lot, body["lot"])
            and _same(self.bender, body["bender"])
            and (self.name is None or self.name.casefold() in body["name"].casefold())
            and (self.tube is None or _is(self.tube, body))
        )


def _same(asked: str | None, told: str) -> bool:
    return asked is None or asked.casefold() == told.casefold()


def _is(tube: TubeAsked, body: dict[str, Any]) -> bool:
    return (
        abs(body["od_mm"] - tube.od_mm) < SAME_MM
        and (tube.wall_mm is None or abs(body["wall_mm"] - tube.wall_mm) < SAME_MM)
        and (not tube.material or _same(tube.material, body["material"]))
    )


def add_options(parser: argparse.ArgumentParser) -> None:
    """The options by which pieces are chosen."""
    group = parser.add_argument_group("only some of them")
    group.add_argument("--last", metavar="N", help="the newest N")
    group.add_argument("--since", metavar="DAY", help="from this day on, 2031-05-04")
    group.add_argument("--lot", metavar="LOT", help="made from this lot")
    group.add_argument("--tube", metavar="TUBE", help="of this tube: 10x1, or '10x1 316'")
    group.add_argument("--bender", metavar="KEY", help="bent on this bender")
    group.add_argument("--name", metavar="NAME", help="with this in the name of their job")


def wanted_of(given: argparse.Namespace) -> RunsWanted:
    """What the options ask for. Raises BadUse."""
    last = given.last
    if last is not None and not (last.isascii() and last.isdecimal() and 0 < int(last) < 10**9):
        raise BadUse(f"--last {last}: a whole number from 1 on: write how many")
    if given.since is not None and not is_day(given.since):
        raise BadUse(f"--since {given.since}: a day as YYYY-MM-DD: write it like 2031-05-04")
    return RunsWanted(
        None if last is None else int(last), given.since, given.lot, _tube(given.tube),
        given.bender, given.name,
    )  # fmt: skip


def _tube(text: str | None) -> TubeAsked | None:
    if text is None:
        return None
    found = TUBE.fullmatch(text.strip())
    try:
        if not found:
            raise LengthError("no size of tube")
        wall = parse_length(found["wall"], "mm").mm if found["wall"] else None
        od_mm = float(parse_length(found["od"], "mm").mm)
        return TubeAsked(od_mm, None if wall is None else float(wall), found["of"] or "")
    except LengthError as error:
        raise BadUse(f"--tube {text}: {error}: write OD x wall, and a material if any") from None
