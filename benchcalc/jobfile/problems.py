"""What is wrong in a file: every problem at once, each a line that says what to do about it."""

from typing import NamedTuple, NoReturn

MOST_VALUE = 80
MOST_WORDS = 400


class Problem(NamedTuple):
    """One fault: where it stands, what it is about, what was written, what may be, what to do."""

    file: str
    line: int
    what: str
    value: str
    limit: str
    todo: str

    def __str__(self) -> str:
        """``FILE:LINE: what: value: limit: what to do``, always a single line."""
        value = one_line(self.value, MOST_VALUE)
        parts = (one_line(self.what, MOST_VALUE), value, one_line(self.limit), one_line(self.todo))
        return f"{one_line(self.file, 4096)}:{self.line}: " + ": ".join(parts)


class BadFile(Exception):
    """A file that was refused; ``problems`` holds all that is wrong with it, by line."""

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        super().__init__("\n".join(map(str, problems)))
        self.problems = problems


class BadJob(BadFile):
    """A job file that was refused."""


class BadValue(Exception):
    """A value that may not stand where it stands: the limit, and what to do."""

    def __init__(self, limit: str, todo: str) -> None:
        super().__init__(f"{limit}: {todo}")
        self.limit, self.todo = limit, todo


class Report:
    """Collects the problems of one file while it is being read."""

    def __init__(self, file: str, error: type[BadFile] = BadFile) -> None:
        self.file, self.error = file, error
        self.problems: list[Problem] = []

    def add(self, line: int, what: str, value: str, limit: str, todo: str) -> None:
        """Note one problem and go on reading."""
        shown = value or "nothing"
        self.problems.append(Problem(self.file, line, what or "key", shown, limit, todo))

    def refuse(self) -> NoReturn:
        """Raise the error of this file with what was found, sorted by line."""
        raise self.error(tuple(sorted(self.problems, key=lambda problem: problem.line)))


def one_line(text: str, most: int = MOST_WORDS) -> str:
    """Text that cannot break a line or move a cursor, and not longer than it is of use."""
    cut = text if len(text) <= most else text[: most - 3] + "..."
    if cut.isprintable():
        return cut
    return "".join(
        c if c.isprintable() else c.encode("unicode_escape").decode("ascii") for c in cut
    )


def nearest(word: str, known: tuple[str, ...]) -> str:
    """The known word that a misspelt one probably meant, or an empty text."""
    if len(word) > 40:
        return ""
    import difflib  # not needed for a file that is in order

    found = difflib.get_close_matches(word, known, n=1, cutoff=0.6)
    return found[0] if found else ""
