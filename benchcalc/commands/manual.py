"""``benchcalc help``: a page of the manual in a terminal, as the wheel carries it."""

import difflib
import re
import sys
import textwrap
from collections.abc import Callable, Iterator
from itertools import groupby
from operator import itemgetter
from pathlib import Path

from benchcalc.commands.parser import BAD, DONE, parser_of
from benchcalc.files.loading import asset_path

COLUMNS = 80
ITEM = re.compile(r" *(?:[-*]|\d+\.) +")
LINK = re.compile(r"\[([^\]]*)\]\([^)]*\)")
CELLS = re.compile(r"(?<!\\)\|")


def run(words: list[str], _: Path) -> int:
    """Print a page, or which pages there are."""
    parser = parser_of("help", "Print a page of the manual; without TOPIC, list them.")
    parser.add_argument("topic", nargs="*", metavar="TOPIC", help="a page, or part of its name")
    wanted = "-".join(parser.parse_args(words).topic).lower()
    pages = topics()
    if not wanted:
        width = max(len(name) for name in pages)
        print("Pages of the manual: benchcalc help TOPIC\n")
        print("\n".join(f"  {name:<{width}}  {title(path)}" for name, path in pages.items()))
        return DONE
    found = [name for name in pages if name == wanted] or [n for n in pages if wanted in n]
    if len(found) != 1:
        near = found or difflib.get_close_matches(wanted, pages, 3)
        meant = f"did you mean {' or '.join(near)}?" if near else f"write one of {', '.join(pages)}"
        print(f"benchcalc: no page is called {wanted}: {meant}", file=sys.stderr)
        return BAD
    print("\n".join(in_terminal(pages[found[0]].read_text(encoding="utf-8"))))
    return DONE


def topics() -> dict[str, Path]:
    """Each page's file by the name that asks for it."""
    return {path.stem: path for path in sorted(asset_path("manual").glob("*.md"))}


def title(path: Path) -> str:
    """What a page is about: its heading."""
    with path.open(encoding="utf-8") as page:
        return page.readline().lstrip("# ").strip()


def in_terminal(markdown: str) -> Iterator[str]:
    """A page's lines for a terminal of 80 columns, without the marks that a renderer needs.

    Headings are underlined, blocks indented as they stand, prose is filled, and a table is set by
    its widest cells, or a row a paragraph where that is too wide.
    """
    for kind, lines in groupby(_with_kinds(markdown), itemgetter(0)):
        texts = [text for _, text in lines]
        yield from SET[kind](texts)


def _with_kinds(markdown: str) -> Iterator[tuple[str, str]]:
    """Each line with what it is part of; items of a list are parted by their number."""
    fenced, item = False, 0
    for line in markdown.splitlines():
        if line.lstrip().startswith("```"):
            fenced = not fenced
        elif fenced:
            yield "block", line
        elif line.startswith("#"):
            yield "heading", line
        elif line.startswith("|"):
            yield "table", line
        elif not line.strip():
            yield "gap", ""
        else:
            item += bool(ITEM.match(line))
            yield f"prose {item % 2}", line


def _headings(lines: list[str]) -> Iterator[str]:
    for line in lines:
        heading = line.lstrip("# ")
        yield from (heading, ("=" if line.startswith("# ") else "-") * len(heading))


def _filled(lines: list[str]) -> Iterator[str]:
    """A paragraph, or an item of a list with what follows under its first word."""
    text = LINK.sub(r"\1", " ".join(line.strip() for line in lines)).replace("**", "")
    item = ITEM.match(lines[0])
    before = item[0] if item else re.match(" *", lines[0])[0]  # type: ignore[index]
    text = text.removeprefix(before.strip()).strip()
    yield from textwrap.wrap(
        text, COLUMNS, initial_indent=before, subsequent_indent=" " * len(before),
        break_on_hyphens=False, break_long_words=False,
    )  # fmt: skip


def _table(lines: list[str]) -> Iterator[str]:
    rows = [[LINK.sub(r"\1", cell.strip()) for cell in CELLS.split(line)[1:-1]] for line in lines]
    rows = [row for row in rows if set("".join(row)) - set("-: ")]
    widths = [max(map(len, column)) for column in zip(*rows, strict=False)]
    if sum(widths) + 2 * len(widths) <= COLUMNS:
        for row in rows:
            cells = zip(row, widths, strict=False)
            yield "  ".join(f"{cell:<{width}}" for cell, width in cells).rstrip()
        return
    for row in rows[1:]:
        yield from textwrap.wrap(f"{row[0]}:", COLUMNS)
        told = "; ".join(cell for cell in row[1:] if cell)
        yield from (f"    {line}" for line in textwrap.wrap(told, COLUMNS - 4))


SET: dict[str, Callable[[list[str]], Iterator[str]]] = {
    "block": lambda lines: (f"    {line}".rstrip() for line in lines),
    "heading": _headings,
    "table": _table,
    "gap": iter,
    "prose 0": _filled,
    "prose 1": _filled,
}
