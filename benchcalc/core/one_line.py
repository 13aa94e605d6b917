"""Text from anywhere, as it can be printed: one line, no control characters, at most a length."""

import unicodedata

MOST = 200
_UNSEEN = ("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp")
"""Unicode's categories of what is not seen: controls, formats (bidirectional ones among them),
surrogates, private and unassigned ones, and what parts lines and paragraphs."""


def one_line(text: str, most: int = MOST) -> str:
    """The text with a space for each stretch that is not seen, cut to ``most`` characters."""
    if not (text.isascii() and text.isprintable()):
        seen = (" " if unicodedata.category(c) in _UNSEEN else c for c in text[: 4 * most])
        text = " ".join("".join(seen).split(" "))
        while "  " in text:
            text = text.replace("  ", " ")
    return text if len(text) <= most else f"{text[: most - 1]}…"


def first_seen(text: str) -> str:
    """The first character that is seen, or moves what is seen; empty for none.

    Spaces, marks that sit on another character and everything invisible are passed over.
    """
    for letter in text:
        if unicodedata.category(letter)[0] not in "CZM" or letter in "\t\r\n":
            return letter
    return ""
