"""The run log's verbs: copy it off, check a copy, make many copies into one."""

import sys
from collections.abc import Generator
from contextlib import closing
from pathlib import Path
from typing import TypeVar

from benchcalc.commands.parser import BAD, DONE, LACKS, STOPPED, parser_of, refuse, tell
from benchcalc.core.frozen import replace
from benchcalc.core.one_line import one_line
from benchcalc.files.reading import read_bytes
from benchcalc.jobfile.problems import BadFile
from benchcalc.runlog.beside import Log
from benchcalc.runlog.copies.collect import collect, copies_in
from benchcalc.runlog.copies.export import Enclosed, Exported, Progress, export
from benchcalc.runlog.copies.known import MOST_BYTES as MOST_KNOWN
from benchcalc.runlog.copies.known import Known, is_known, parse_known, signed_text
from benchcalc.runlog.copies.media import CopyFailed, Disk
from benchcalc.runlog.copies.verify import Verified, verify
from benchcalc.runlog.faults import StoreError
from benchcalc.runlog.look import look, sentences
from benchcalc.runlog.reading import Damage
from benchcalc.runlog.signing import library_there
from benchcalc.shell.enclosed import enclosed, with_learnt
from benchcalc.shell.relearn import Relearning

MOST_TOLD = 20
KNOWN_HELP = "the benches you know: a text file, on each line a key's fingerprint and a name"
NO_LIBRARY = "signatures cannot be checked here: install python3-cryptography"

Done = TypeVar("Done")


def export_words(words: list[str], state: Path) -> int:
    """``benchcalc export DIR [--all] [--from FILE]``; ``state`` is the folder of the records."""
    parser = parser_of("export", "Copy this bench's records into a new folder in DIR.")
    parser.add_argument("folder", type=Path, metavar="DIR", help="where: a stick, or any folder")
    parser.add_argument("--all", action="store_true", help="not only what is new since last time")
    source = "a records file that was set aside as damaged: whatever in it can still be read"
    parser.add_argument("--from", dest="source", type=Path, metavar="FILE", help=source)
    given = parser.parse_args(words)
    if not given.folder.is_dir():
        return refuse(f"{given.folder} is no folder: make it, or name another", BAD)
    if given.source is not None and not given.source.is_file():
        return refuse(f"{given.source} is no file: name a records file", BAD)
    try:
        if given.source is not None:
            return _export_damaged(given.source, given.folder)
        return _export_store(state, given.folder, bool(given.all))
    except (CopyFailed, StoreError) as error:
        return refuse(str(error), LACKS)
    except KeyboardInterrupt:
        return refuse("stopped: nothing was copied", STOPPED)


def _export_store(state: Path, folder: Path, everything: bool) -> int:
    log = Log.of(state)
    if log is None:
        print("No records stored yet.")
        return DONE
    with log:
        after = 0 if everything else log.copied_to()
        last = log.head().sequence
        if last <= after:
            return _nothing_new(log, last)
        exported = _done(export(log, folder, Disk(), with_learnt(log), after))
        code = _told(exported, log.damage)
        try:
            log.mark_copied(exported.head)
        except OSError as error:
            print(f"Not marked as copied ({error.strerror}): the next copy holds these again.")
    return code


def _nothing_new(log: Log, last: int) -> int:
    """Said only once the end of the log was held against its marks."""
    for _ in log.checked(max(last - 1, 0)):
        pass
    for damage in log.damage:
        refuse(damage.says, LACKS)
    if log.damage:
        return LACKS
    print(f"Nothing new since the last copy (record {last}); --all copies everything.")
    return DONE


def _export_damaged(source: Path, folder: Path) -> int:
    with Log.of_file(source) as log:
        exported = _done(export(log, folder, Disk(), enclosed()))
        return _told(exported, log.damage)


def _bare() -> Enclosed:
    """A collection carries no profile files: each bench's own are in its copies."""
    return replace(enclosed(), files={})


def _told(exported: Exported, damage: list[Damage]) -> int:
    first, last = exported.after + 1, exported.head.sequence
    print(f"{exported.folder}")
    print(f"{exported.records} records, {first} to {last}, read back and found right.")
    print(f"Chain ends at {last}: {exported.head.hash}")
    for note in exported.notes:
        print(one_line(note))
    if damage:
        return LACKS
    return STOPPED if exported.notes else DONE


def verify_words(words: list[str], state: Path) -> int:
    """``benchcalc verify [DIR]``."""
    about = "Say whether a copy is whole, altered, cut off or incomplete; without DIR, whether "
    parser = parser_of("verify", f"{about}this bench's own log is whole.")
    place = "a copy, or a folder with copies"
    parser.add_argument("folder", type=Path, metavar="DIR", nargs="?", help=place)
    parser.add_argument("--known", type=Path, metavar="FILE", help=KNOWN_HELP)
    given = parser.parse_args(words)
    if given.folder is None:
        return _verify_own(state)
    known = _known(given.known)
    try:
        checked = [verify(copy) for copy in copies_in([given.folder])]
    except FileNotFoundError as error:
        return refuse(f"{error}: name the folder that export made", BAD)
    except OSError as error:
        return refuse(f"{given.folder} cannot be read ({error.strerror}): try again", LACKS)
    for one in checked:
        print(_verdict(one, known))
    if known is not None and any(one.unchecked for one in checked):
        return refuse(NO_LIBRARY, LACKS)
    good = (one.verdict == "whole" and (known is None or is_known(one, known)) for one in checked)
    return DONE if all(good) else STOPPED


def _known(file: Path | None) -> Known | None:
    """The benches of a file; SystemExit, once it is said, for a file that is none of this kind."""
    if file is None:
        return None
    try:
        return parse_known(read_bytes(file, MOST_KNOWN), str(file))
    except (BadFile, ValueError) as error:
        raise SystemExit(tell(str(error), BAD)) from error


def _verify_own(state: Path) -> int:
    """This bench's log, every record of it; what cannot be read is said, and ends with 3."""
    try:
        log = Log.of(state)
        if log is None:
            print("No records stored yet.")
            return DONE
        with log:
            looked = look(log)
    except StoreError as error:
        return refuse(str(error), LACKS)
    last = looked.head.sequence
    print(f"{state}: {'whole' if looked.right else 'damaged'}")
    print(f"  device {looked.device}, whole records {looked.whole}, the last is {last}")
    print(f"  chain ends at {looked.head.hash}")
    for sentence in sentences(looked):
        print(f"  {sentence}")
    return DONE if looked.right else LACKS


def _verdict(checked: Verified, known: Known | None) -> str:
    lines = [f"{checked.folder}: {checked.verdict}"]
    lines += [f"  {fault.file}: {fault.says}" for fault in checked.faults]
    lines += [f"  {name}: no part of the copy" for name in checked.added[:MOST_TOLD]]
    if checked.verdict == "whole" and checked.head is not None:
        for span in checked.head.spans:
            records = f"records {span.after + 1} to {span.last}"
            lines.append(f"  device {span.device}, {records}, chain ends at {span.last_hash}")
        if checked.signed_by or known is not None:
            lines.append(f"  {signed_text(checked, known)}")
        if checked.unproved and not is_known(checked, known or {}):
            lines.append(f"  only by their own hashes: {', '.join(checked.unproved)}")
        lines += [f"  {note}" for note in checked.head.notes[:MOST_TOLD]]
    return "\n".join(map(one_line, lines))


def collect_words(words: list[str], _: Path) -> int:
    """``benchcalc collect DIR… [--into DIR]``."""
    parser = parser_of(
        "collect", "Make copies of any number of benches into one, each record once."
    )
    about = "a copy, a folder with copies, or an earlier collection"
    parser.add_argument("folders", nargs="+", type=Path, metavar="DIR", help=about)
    into = "where the new folder is made, the current one when not given"
    parser.add_argument("--into", type=Path, default=Path(), metavar="DIR", help=into)
    parser.add_argument("--known", type=Path, metavar="FILE", help=KNOWN_HELP)
    given = parser.parse_args(words)
    if not given.into.is_dir():
        return refuse(f"--into: {given.into} is no folder: make it, or name another", BAD)
    known = _known(given.known)
    if known is not None and not library_there():
        return refuse(NO_LIBRARY, LACKS)
    try:
        copies = copies_in(given.folders)
        collected = _done(collect(copies, given.into, Disk(), _bare(), Relearning(), known))
    except FileNotFoundError as error:
        return refuse(f"{error}: name a folder that export made", BAD)
    except CopyFailed as error:
        return refuse(str(error), LACKS)
    except OSError as error:
        return refuse(f"{error.filename} cannot be read ({error.strerror}): try again", LACKS)
    benches = f"{collected.devices} bench{'' if collected.devices == 1 else 'es'}"
    print(f"{collected.folder}\n{collected.records} records of {benches}.")
    for says in collected.signed:
        print(one_line(says))
    for note in collected.notes:
        print(one_line(note))
    return STOPPED if collected.notes else DONE


def _done(steps: Generator[Progress, None, Done]) -> Done:
    """All steps, with a percentage where someone watches; stopped, nothing is left of the copy."""
    watched, shown = sys.stderr.isatty(), -1
    with closing(steps):
        while True:
            try:
                percent = round(100 * next(steps).share)
            except StopIteration as finished:
                if watched:
                    print("\r      \r", end="", file=sys.stderr)
                outcome: Done = finished.value
                return outcome
            if watched and percent != shown:
                shown = percent
                print(f"\r{percent:3} %", end="", file=sys.stderr, flush=True)
