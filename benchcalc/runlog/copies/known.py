"""The benches that somebody knows: a plain text file, on each line a fingerprint and a name.

What a bench's fingerprint is stands on its *machine* screen; it is written down there, by hand,
and not taken from a copy.
"""

import re

from benchcalc.core.one_line import one_line
from benchcalc.runlog.copies.verify import Verified

_FINGERPRINT = re.compile(r"[0-9a-f]{20}")
_MOST_NAME = 80
MOST_BYTES = 1 << 20

Known = dict[str, str]
"""The name of a bench by its key's fingerprint."""


def parse_known(data: bytes, file: str) -> Known:
    """The benches of such a file; a line that begins with ``#`` is a remark.

    Raises ValueError with every line that is none, one sentence a line.
    """
    try:
        lines = data.decode("utf-8-sig").splitlines()
    except UnicodeDecodeError:
        raise ValueError(f"{file}:1: other bytes than UTF-8: save it as UTF-8 text") from None
    known: Known = {}
    wrong = [f"{file}: over 1 MiB: name the file with the fingerprints"]
    if len(data) <= MOST_BYTES:
        wrong = []
        for number, line in enumerate(lines, 1):
            if line.strip() and not line.lstrip().startswith("#"):
                says = _take(known, *line.split(maxsplit=1))
                wrong += [f"{file}:{number}: {says}"] if says else []
    if wrong:
        raise ValueError("\n".join(wrong))
    return known


def _take(known: Known, fingerprint: str, name: str = "") -> str:
    """One line of it; what is wrong with it, if anything."""
    digits = fingerprint.replace("-", "").lower()
    if not _FINGERPRINT.fullmatch(digits):
        return f"{one_line(fingerprint)}: no fingerprint: write five groups of four, 0-9 and a-f"
    if not name.strip() or len(name) > _MOST_NAME:
        return f"{fingerprint}: no name of up to {_MOST_NAME} letters: write the bench's behind it"
    own = "-".join(digits[at : at + 4] for at in range(0, 20, 4))
    if own in known:
        return f"{own}: it is {known[own]} already: strike one out"
    known[own] = one_line(name.strip())
    return ""


def is_known(copy: Verified, known: Known) -> bool:
    """Whether a copy is signed, as could be checked here, by a bench that is known."""
    return copy.signed_by in known and not copy.unchecked


def signed_text(copy: Verified, known: Known | None) -> str:
    """By whom a copy is signed, as a part of a sentence."""
    if not copy.signed_by:
        return "not signed"
    name = (known or {}).get(copy.signed_by, "")
    whose = f"{name} ({copy.signed_by})" if name else copy.signed_by
    if copy.unchecked:
        return f"signed as by {whose}, not checked here: install python3-cryptography"
    stranger = known is not None and not name
    return f"signed by {whose}, a stranger" if stranger else f"signed by {whose}"
