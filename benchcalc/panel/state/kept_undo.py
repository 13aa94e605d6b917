"""How much of what can be undone is kept over a restart."""

KEPT_CHARACTERS = 16_384
"""Of the newest edits; some 200 of them.

The work is written again with every tap, to a card that wears: without a bound, undo would soon be
most of what is written.
"""


SHELVED_CHARACTERS = 2_048
"""Of each job that is put aside."""


def newest(undo: tuple[str, ...], room: int = KEPT_CHARACTERS) -> tuple[str, ...]:
    """The newest edits that have room together."""
    at = len(undo)
    while at and len(undo[at - 1]) <= room:
        at -= 1
        room -= len(undo[at])
    return undo[at:]
