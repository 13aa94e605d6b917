"""What a record says, as text and back: JSON on one line, its keys in order, all of it plain.

The one way in and out, for the log, its copies and whatever a stranger's folder holds.
"""

import json
from typing import Any

MOST_BYTES = 16 << 20
"""A piece of a hundred bends takes a hundredth of this."""


def write_body(value: Any) -> str:
    """The text of a JSON value. Raises ValueError for what is none, or is no text of this world."""
    text = json.dumps(
        value, allow_nan=False, ensure_ascii=False, separators=(",", ":"), sort_keys=True
    )
    text.encode()  # a surrogate, from a name that was no UTF-8, is refused here and not later
    return text


def read_value(text: str) -> Any:
    """A JSON value. Raises ValueError for one that is too deep, too long, or has odd numbers."""
    if len(text) > MOST_BYTES:
        raise ValueError("it is too long")
    try:
        value = _DECODER.decode(text)
        if "\\u" in text:
            json.dumps(value, ensure_ascii=False).encode()
    except RecursionError as error:
        raise ValueError("it is nested too deep") from error
    except UnicodeEncodeError as error:
        raise ValueError("it holds a text that cannot be written") from error
    return value


def read_body(text: str) -> dict[str, Any]:
    """The body of a record. Raises ValueError for anything but a mapping on one line."""
    value = read_value(text)
    if not isinstance(value, dict) or "\n" in text:
        raise ValueError("it is no mapping on one line")
    return value


def reads(text: str) -> bool:
    """Whether a text is a record's body."""
    try:
        read_body(text)
    except ValueError:
        return False
    return True


def _float(digits: str) -> float:
    value = float(digits)
    if value - value != 0.0:
        raise ValueError(f"{digits[:20]} is no number that can be")
    return value


def _int(digits: str) -> int:
    if len(digits) > _MOST_DIGITS:
        raise ValueError(f"{digits[:20]}… is no number that can be")
    return int(digits)


def _none_such(name: str) -> None:
    raise ValueError(f"{name} is no number")


_MOST_DIGITS = 20
_DECODER = json.JSONDecoder(parse_float=_float, parse_int=_int, parse_constant=_none_such)
