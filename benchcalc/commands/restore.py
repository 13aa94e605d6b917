"""``benchcalc restore FILE``: put a records file that was set aside back in its place."""

from pathlib import Path

from benchcalc.commands.parser import BAD, DONE, LACKS, parser_of, refuse
from benchcalc.runlog.beside import Log
from benchcalc.runlog.faults import StoreError
from benchcalc.runlog.putting_back import put_back


def run(words: list[str], state: Path) -> int:
    """Put it back; the one in its place is set aside in turn, so this can be undone as well."""
    parser = parser_of(
        "restore",
        "Put a records file that the panel has set aside back in its place. The one "
        "that lies there is set aside in turn; nothing is deleted. The panel must be closed.",
    )
    about = "its name in the folder of the records, records.damaged-1.db say, or its path"
    parser.add_argument("file", type=Path, metavar="FILE", help=about)
    given = parser.parse_args(words)
    path = given.file if given.file.is_file() else state / given.file
    if not path.is_file():
        return refuse(f"{given.file} is no file: name one that was set aside in {state}", BAD)
    if path.parent.resolve() != state.resolve():
        return refuse(f"{path} does not lie in {state}: copy it there first", BAD)
    try:
        with Log.of_file(path) as log:
            last = log.head().sequence
        aside = put_back(state, path)
    except StoreError as error:
        return refuse(str(error), LACKS)
    print(f"{path.name} is in its place again; its last record is {last}.")
    if aside:
        print(f"What lay there is set aside as {aside.name}.")
    return DONE
