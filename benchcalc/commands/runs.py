"""``benchcalc runs``: the log as a list, and a remark that is added to it later."""

import json
import sys
from pathlib import Path

from benchcalc.commands.parser import BAD, DONE, LACKS, parser_of, refuse
from benchcalc.report.run_list import remark_line, run_line
from benchcalc.runlog.beside import Log
from benchcalc.runlog.faults import StoreError
from benchcalc.runlog.records import PIECE, REMARK, remark
from benchcalc.runlog.store import Store
from benchcalc.shell import clock

LINES = {PIECE: run_line, REMARK: remark_line}


def run(words: list[str], state: Path) -> int:
    """List the pieces and remarks, or add a remark; ``state`` is the folder of the records."""
    parser = parser_of("runs", "List the pieces that this bench has stored.")
    as_json = "one record a line, as JSON; [] for none"
    parser.add_argument("--json", action="store_true", help=as_json)
    about = "add a remark to record N, as a record of its own: N itself never changes"
    parser.add_argument("--remark", nargs=2, metavar=("N", "TEXT"), help=about)
    parser.add_argument("--by", default="", metavar="NAME", help="who makes the remark")
    given = parser.parse_args(words)
    if given.by and not given.remark:
        return refuse("--by names who makes a remark: give --remark N TEXT with it", BAD)
    try:
        log = Log.of(state)
        if log is None:
            if given.remark:
                return refuse("no pieces are stored yet: there is nothing to remark on", BAD)
            print("[]" if given.json else "No pieces stored yet.")
            return DONE
        with log:
            if not given.remark:
                return _list(log, given.json)
        with Store.open(state, clock.boot_id(), mend=False) as store:
            number, text = given.remark
            return _add(store, number, text, given.by)
    except StoreError as error:
        return refuse(str(error), LACKS)


def _list(log: Log, as_json: bool) -> int:
    """Every record that is whole; of the others which they are, and exit 3."""
    told, unread = False, list[str]()
    for entry in log.records():
        if line := LINES.get(entry.kind):
            told = True
            plain = entry._asdict()
            try:
                print(json.dumps(plain) if as_json else line(plain))
            except (KeyError, TypeError, ValueError, AttributeError, RecursionError):
                unread.append(f"Record {entry.sequence} is of a form this program cannot read.")
    for says in (*(damage.says for damage in log.damage), *unread):
        print(f"benchcalc: {says}", file=sys.stderr)
    if log.damage or unread:
        return LACKS
    if not told:
        print("[]" if as_json else "No pieces stored yet.")
    return DONE


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
