"""The fenced blocks of a document, and the commands that a reader would type from them."""

import re
import shlex
import textwrap
from typing import NamedTuple

FENCE = re.compile(r"\s*```(.*)")
FILE_NAME = re.compile(r"`([\w-]+\.yaml)`")
FIRST_LINE = re.compile(r"# file: ([\w-]+\.yaml)\s*$")
SYNOPSIS = re.compile(r"[\[\]…]|\.\.\.|\b[A-Z]{3,}\b")
ASSIGNMENT = re.compile(r"[A-Za-z_]\w*=")
EXIT = re.compile(r"\s#.*\bexit ([0-9])")


class Block(NamedTuple):
    """A fenced block: its language, its text, its first line, and the paragraph before it."""

    language: str
    text: str
    line: int
    before: str

    @property
    def file_name(self) -> str:
        """The file that a reader is told to write it to, or nothing."""
        first = FIRST_LINE.match(self.text.partition("\n")[0])
        told = first or FILE_NAME.search(self.before)
        return told[1] if told else ""


def blocks(markdown: str) -> list[Block]:
    """Every fenced block, in order. Raises ValueError for a fence that is never closed."""
    lines = markdown.splitlines()
    fences = [
        (at, found[1].strip()) for at, line in enumerate(lines) if (found := FENCE.match(line))
    ]
    if len(fences) % 2:
        raise ValueError(f"{fences[-1][0] + 1}: this fence is never closed")
    found_blocks, ended = [], 0
    for (start, language), (end, _) in zip(fences[::2], fences[1::2], strict=True):
        text = textwrap.dedent("".join(f"{line}\n" for line in lines[start + 1 : end]))
        paragraphs = "\n".join(lines[ended:start]).strip().split("\n\n")
        found_blocks.append(Block(language, text, start + 2, paragraphs[-1]))
        ended = end + 1
    return found_blocks


class Line(NamedTuple):
    """A line of a shell block: what is typed, its number, and the exit code it should have."""

    text: str
    number: int
    exit: int

    def commands(self) -> list[list[str]]:
        """The words of each command on it, without the file that its output goes to."""
        lexer = shlex.shlex(self.text, posix=True, punctuation_chars=True)
        lexer.whitespace_split = True
        found: list[list[str]] = [[]]
        for word in lexer:
            if word in (">", ">>", ">&"):
                next(lexer, None)
            elif set(word) <= set("&|;()<>"):
                found.append([])
            elif found[-1] or not ASSIGNMENT.match(word):
                found[-1].append(word)
        return [words for words in found if words]

    def ours(self) -> list[list[str]]:
        """What follows ``benchcalc`` in each command that is ours."""
        return [words[1:] for words in self.commands() if words[0].split("/")[-1] == "benchcalc"]

    @property
    def synopsis(self) -> bool:
        """Whether it shows how a command is built, with places to fill in."""
        return any(SYNOPSIS.search(word) for words in self.ours() for word in words)

    @property
    def runs_anywhere(self) -> bool:
        """Whether it works on files alone: no screen, no network, no records, no service."""
        ours = self.ours()
        return (
            bool(ours)
            and not self.synopsis
            and len(ours) == len(self.commands())
            and all(
                words[:1] == ["sheet"] or words in (["--version"], ["--help"]) for words in ours
            )
        )


def lines(block: Block) -> list[Line]:
    """The lines of a shell block, those that go on joined, blank ones and remarks left out."""
    found: list[Line] = []
    joined, start = "", 0
    for number, text in enumerate(block.text.splitlines(), block.line):
        start = start if joined else number
        joined += text
        if joined.endswith("\\"):
            joined = joined[:-1]
            continue
        code = EXIT.search(joined)
        if joined.strip() and not joined.lstrip().startswith("#"):
            found.append(Line(joined.strip(), start, int(code[1]) if code else 0))
        joined = ""
    return found
