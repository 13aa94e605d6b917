"""``benchcalc runs``: the log as a list, newest first, and a remark that is added to it later."""

import argparse
import json
import sys
from collections.abc import Callable, Iterator
from itertools import islice, takewhile
from pathlib import Path

from benchcalc.commands.parser import BAD, DONE, LACKS, parser_of, refuse
from benchcalc.commands.refusal import BadUse
from benchcalc.commands.runs_wanted import RunsWanted, add_options, wanted_of
from benchcalc.report.run_list import remark_line, run_line
from benchcalc.runlog.beside import Log
from benchcalc.runlog.chain import Entry
from benchcalc.runlog.faults import StoreError
from benchcalc.runlog.records import PIECE, REMARK, remark
from benchcalc.runlog.store import Store
from benchcalc.shell import clock

LINES = {PIECE: run_line, REMARK: remark_line}
BLOCK = 200
"""Records looked at together, from the last on backwards."""


def run(words: list[str], state: Path) -> int:
    """List the pieces and remarks, or add a remark; ``state`` is the folder of the records."""
    parser = parser_of(
        "runs", "List the pieces that this bench has stored, the newest first; as JSON in order."
    )
    as_json = "one record a line, as JSON; [] for none"
    parser.add_argument("--json", action="store_true", help=as_json)
    add_options(parser)
    about = "add a remark to record N, as a record of its own: N itself never changes"
    parser.add_argument("--remark", nargs=2, metavar=("N", "TEXT"), help=about)
    parser.add_argument("--by", default="", metavar="NAME", help="who makes the remark")
    given = parser.parse_args(words)
    if given.by and not given.remark:
        return refuse("--by names who makes a remark: give --remark N TEXT with it", BAD)
    try:
        return _run(given, wanted_of(given), state)
    except BadUse as bad:
        return refuse(str(bad), BAD)
    except StoreError as error:
        return refuse(str(error), LACKS)


def _run(given: argparse.Namespace, wanted: RunsWanted, state: Path) -> int:
    log = Log.of(state)
    if log is None:
        if given.remark:
            raise BadUse("no pieces are stored yet: there is nothing to remark on")
        print("[]" if given.json else "No pieces stored yet.")
        return DONE
    with log:
        if not given.remark:
            return _list(log, wanted, given.json)
    with Store.open(state, clock.boot_id(), mend=False) as store:
        number, text = given.remark
        return _add(store, number, text, given.by)


def _list(log: Log, wanted: RunsWanted, as_json: bool) -> int:
    """Every record that is wanted and whole; of the others which they are, and exit 3."""
    unread: list[str] = []

    def told(entry: Entry) -> str | None:
        plain = entry._asdict()
        try:
            if not wanted.takes(entry, log):
                return None
            return json.dumps(plain) if as_json else LINES[entry.kind](plain)
        except (KeyError, TypeError, ValueError, AttributeError, RecursionError):
            unread.append(f"Record {entry.sequence} is of a form this program cannot read.")
            return None

    lines: Iterator[str | None]
    if as_json and wanted.last is None:
        lines = (told(entry) for entry in log.records() if entry.kind in LINES)
    else:
        lines = _newest(log, told)
    some = islice((line for line in lines if line is not None), wanted.last)
    count = 0
    for line in reversed(list(some)) if as_json and wanted.last is not None else some:
        print(line, flush=True)  # whoever reads the first lines need not wait for the last
        count += 1
    for says in (*(damage.says for damage in log.damage), *unread):
        print(f"benchcalc: {says}", file=sys.stderr)
    if log.damage or unread:
        return LACKS
    if not count:
        none = "No piece stored here is like that." if wanted.chosen else "No pieces stored yet."
        print("[]" if as_json else none)
    return DONE


def _newest(log: Log, told: Callable[[Entry], str | None]) -> Iterator[str | None]:
    """What is told of each record, from the last to the first.

    Past a damaged one the rest is read in order, for the way to it may be found from before only.
    """
    end = log.head().sequence
    while end > 0:
        after = 0 if log.damage else max(end - BLOCK, 0)
        here = takewhile(lambda entry, end=end: entry.sequence <= end, log.records(after=after))  # type: ignore[misc]
        yield from reversed([told(entry) for entry in here if entry.kind in LINES])
        end = after


def _add(store: Store, number: str, text: str, by: str) -> int:
    last = store.head().sequence
    if not (number.isascii() and number.isdecimal()) or not 1 <= int(number) <= last:
        there = f"records go from 1 to {last}" if last else "there are no records yet"
        return refuse(f"--remark {number}: {there}: benchcalc runs lists them", BAD)
    try:
        body = remark(int(number), text, by)
    except ValueError as error:
        return refuse(str(error), BAD)
    added = store.append(REMARK, body, clock.wall_time(), clock.clock_trusted())
    print(f"Remark on record {number} stored as record {added}.")
    return DONE
