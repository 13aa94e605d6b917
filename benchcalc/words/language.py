"""Which language is spoken, for as long as something is said; English where nobody chose."""

from contextvars import ContextVar

from benchcalc.words.phrases import Language, phrases

_SPOKEN: ContextVar[Language] = ContextVar("spoken", default="en")
_DECIMAL_SIGN: dict[Language, str] = {"en": ".", "de": ",", "es": ","}


class speaking:  # noqa: N801 - reads as a verb: with speaking("de")
    """Say everything in there in this language."""

    def __init__(self, language: Language) -> None:
        self._language = language

    def __enter__(self) -> None:
        self._before = _SPOKEN.set(self._language)

    def __exit__(self, *_: object) -> None:
        _SPOKEN.reset(self._before)


def say(phrase: str, **values: object) -> str:
    """A phrase by its name, its places filled, in the language that is spoken.

    A phrase that this language lacks is said in English.
    """
    spoken = phrases(_SPOKEN.get()).get(phrase) or phrases("en")[phrase]
    return spoken.format(**values)


def decimal_sign() -> str:
    """What stands before the tenths: a point, or a comma."""
    return _DECIMAL_SIGN[_SPOKEN.get()]


def number_shown(text: str) -> str:
    """A number written with a point, as it is read in the language that is spoken."""
    return text.replace(".", decimal_sign())
