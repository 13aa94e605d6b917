"""Sentences as facts: which phrase, with which values. Words are made of them when they are shown.

So what is kept and what decides never is a sentence, and a change of language or of units changes
every word on the screen and nothing else.
"""

from typing import NamedTuple, Protocol

from benchcalc.core.job import Units
from benchcalc.report.figures import angle_text, length_text, size_text, tube_text
from benchcalc.words.language import number_shown, say


class Angle(NamedTuple):
    """An angle in a sentence, degrees."""

    deg: float

    @property
    def shown(self) -> str:
        """With its sign for degrees, to a tenth."""
        return angle_text(self.deg)


class Angles(NamedTuple):
    """Several angles in a sentence, degrees."""

    degs: tuple[float, ...]

    @property
    def shown(self) -> str:
        """Each with its sign for degrees, to a tenth."""
        return " / ".join(map(angle_text, self.degs))


class Length(NamedTuple):
    """A length in a sentence, mm, shown in the units of its job."""

    mm: float
    units: Units = "mm"

    @property
    def shown(self) -> str:
        """With its unit."""
        return length_text(self.mm, self.units)


class TubeSize(NamedTuple):
    """An outside diameter or a wall in a sentence, mm, shown in the units of its job."""

    mm: float
    units: Units = "mm"

    @property
    def shown(self) -> str:
        """With its unit."""
        return tube_text(self.mm, self.units)


class Size(NamedTuple):
    """A size without spare zeros in a sentence, mm, shown in these units whatever is mixed."""

    mm: float
    units: Units = "mm"

    @property
    def shown(self) -> str:
        """With its unit."""
        return size_text(self.mm, self.units)


class Names(NamedTuple):
    """Several names in a sentence, by their phrases."""

    phrases: tuple[str, ...]

    @property
    def shown(self) -> str:
        """One after the other."""
        return ", ".join(map(say, self.phrases))


class Number(NamedTuple):
    """A number as it was typed, with a point."""

    text: str

    @property
    def shown(self) -> str:
        """With the decimal sign of the language."""
        return number_shown(self.text)


class Value(Protocol):
    """Anything that a sentence can hold and that is only shown when the sentence is."""

    @property
    def shown(self) -> str:
        """In words."""
        ...


class Told(NamedTuple):
    """A phrase by its name, with what fills its places."""

    phrase: str
    values: tuple[tuple[str, "str | int | Value"], ...] = ()

    @property
    def shown(self) -> str:
        """The sentence, in the language and units in use."""
        return say(self.phrase, **{name: _shown(value) for name, value in self.values})


def told(phrase: str, **values: "str | int | Value") -> Told:
    """A sentence to be shown later."""
    return Told(phrase, tuple(values.items()))


def verbatim(says: str) -> Told:
    """What the machine, a file or a copy says of itself, as it says it in every language."""
    return told("trouble.told", says=says)


def _shown(value: "str | int | Value") -> str | int:
    return value if isinstance(value, str | int) else value.shown


def in_words(sentence: Told | str | None) -> str:
    """A sentence as it is shown; nothing for none."""
    return sentence.shown if isinstance(sentence, Told) else sentence or ""
