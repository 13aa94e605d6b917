"""Which language is spoken, for as long as something is said; English where nobody chose."""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar

from benchcalc.panel.phrases import PHRASES
from benchcalc.panel.settings import Language

_SPOKEN: ContextVar[Language] = ContextVar("spoken", default="en")
_DECIMAL_SIGN: dict[Language, str] = {"en": ".", "de": ",", "es": ","}


@contextmanager
def speaking(language: Language) -> Iterator[None]:
    """Say everything in there in this language."""
    token = _SPOKEN.set(language)
    try:
        yield
    finally:
        _SPOKEN.reset(token)


def say(phrase: str, **values: object) -> str:
    """A phrase by its name, its places filled, in the language that is spoken."""
    return PHRASES[_SPOKEN.get()][phrase].format(**values)


def decimal_sign() -> str:
    """What stands before the tenths: a point, or a comma."""
    return _DECIMAL_SIGN[_SPOKEN.get()]


def number_shown(text: str) -> str:
    """A number written with a point, as it is read in the language that is spoken."""
    return text.replace(".", decimal_sign())
