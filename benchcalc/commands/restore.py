"""``benchcalc restore FILE``: put a records file that was set aside back in its place."""

import argparse
import sys
from pathlib import Path

from benchcalc.runlog.beside import Log
from benchcalc.runlog.faults import StoreError
from benchcalc.runlog.putting_back import put_back

DONE, BAD, LACKS = 0, 2, 3


def run(words: list[str], state: Path) -> int:
    """Put it back; the one in its place is set aside in turn, so this can be undone as well."""
    parser = argparse.ArgumentParser(
        prog="benchcalc restore",
        description="Put a records file that the panel has set aside back in its place. The one "
        "that lies there is set aside in turn; nothing is deleted. The panel must be closed.",
        allow_abbrev=False,
    )
    about = "its name in the folder of the records, records.damaged-1.db say, or its path"
    parser.add_argument("file", type=Path, metavar="FILE", help=about)
    given = parser.parse_args(words)
    path = given.file if given.file.is_file() else state / given.file
    if not path.is_file():
        return _refuse(f"{given.file} is no file: name one that was set aside in {state}", BAD)
    if path.parent.resolve() != state.resolve():
        return _refuse(f"{path} does not lie in {state}: copy it there first", BAD)
    try:
        with Log.of_file(path) as log:
            last = log.head().sequence
        aside = put_back(state, path)
    except StoreError as error:
        return _refuse(str(error), LACKS)
    print(f"{path.name} is in its place again; its last record is {last}.")
    if aside:
        print(f"What lay there is set aside as {aside.name}.")
    return DONE


def _refuse(sentence: str, code: int) -> int:
    print(f"benchcalc: {sentence}", file=sys.stderr)
    return code
