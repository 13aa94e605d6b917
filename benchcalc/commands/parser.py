"""How a command reads its words, and how it answers: exit codes, one sentence to standard error."""

import argparse
import sys

DONE, STOPPED, BAD, LACKS = 0, 1, 2, 3
HELP_WIDTH = 78


def parser_of(verb: str, about: str, epilog: str | None = None) -> argparse.ArgumentParser:
    """A parser of the words after ``benchcalc VERB``; of ``benchcalc`` itself without a verb."""
    return argparse.ArgumentParser(
        prog=f"benchcalc {verb}".rstrip(),
        description=about,
        epilog=epilog,
        formatter_class=_Help,
        allow_abbrev=False,
    )


class _Help(argparse.HelpFormatter):
    """Help as wide everywhere: argparse asks a terminal for its width each time it is made.

    Asking it loads more modules than a sheet needs of argparse.
    """

    def __init__(self, prog: str) -> None:
        super().__init__(prog, width=HELP_WIDTH)

    def _fill_text(self, text: str, width: int, indent: str) -> str:
        """A text of several lines stands as it was written."""
        return text if "\n" in text else super()._fill_text(text, width, indent)


def tell(sentence: str, code: int) -> int:
    """A sentence on standard error; returns the exit code."""
    print(sentence, file=sys.stderr)
    return code


def refuse(sentence: str, code: int) -> int:
    """The same, said by the program as a whole and not of a file."""
    return tell(f"benchcalc: {sentence}", code)
