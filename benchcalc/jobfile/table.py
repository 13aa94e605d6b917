"""Fields of a file, each declared once: its key, kind, limits, default and what it says.

From a table of fields a mapping is read and written, and the JSON Schema of a file is made.
"""

from collections.abc import Callable, Iterable
from typing import Any, Literal, NamedTuple, TypeVar

from benchcalc.core.job import Angles, Units
from benchcalc.jobfile import values
from benchcalc.jobfile.fields import Fields
from benchcalc.jobfile.problems import BadValue
from benchcalc.jobfile.strict_yaml import Scalar
from benchcalc.jobfile.values import Reader, Span

T = TypeVar("T")
D = TypeVar("D")

Kind = Literal[
    "text", "key", "choice", "whole", "number", "length", "angle", "bend", "pressure", "share",
    "hardness", "seconds", "bytes", "table", "other",
]  # fmt: skip
"""``bend`` is an angle that a drawing may give as the angle it includes; ``key`` names a profile;
``table`` is a mapping of fields; ``other`` is read, written and described by its own module."""

_ENDINGS = {"length": "_mm", "angle": "_deg", "bend": "_deg", "pressure": "_mpa", "seconds": "_s"}


class Manner(NamedTuple):
    """How a file writes: the unit of a bare length (None: each has its own), and its angles."""

    units: Units | None
    angles: Angles = "bend"


class Field(NamedTuple):
    """One field. ``most`` over 1 lets it be a list; ``empty`` lets a text hold nothing.

    The span of a text is how long it may be. ``attr`` is its name in core, where that is not the
    key with its unit.
    """

    key: str
    kind: Kind
    says: str
    span: Span | None = None
    default: Any = None
    needed: bool = False
    words: tuple[str, ...] = ()
    fields: "tuple[Field, ...]" = ()
    attr: str = ""
    most: int = 1
    empty: bool = False

    @property
    def name(self) -> str:
        """What the value is called in core."""
        return self.attr or self.key + _ENDINGS.get(self.kind, "")


def reader_of(field: Field, manner: Manner) -> Reader[Any]:
    """The reader of a field's single values."""
    return _READERS[field.kind](field, manner)


def read_field(fields: Fields, field: Field, manner: Manner) -> Any:
    """What a mapping says of a field; its default, or None for a needed one, where it says none."""
    reader = reader_of(field, manner)
    if field.most > 1:
        found = fields.read_several(field.key, reader, field.most)
        if field.needed and not fields.has(field.key):
            fields.miss(field.key)
        return found
    if field.needed:
        return fields.need(field.key, reader)
    return fields.read(field.key, reader, field.default)


def read_fields(fields: Fields, table: Iterable[Field], manner: Manner) -> dict[str, Any]:
    """The single values of a mapping by their names in core; tables and others are left out."""
    return {
        field.name: read_field(fields, field, manner) for field in table if field.kind in _READERS
    }


def complete(found: dict[str, Any], table: Iterable[Field]) -> bool:
    """Whether every field that must be there was read."""
    return all(found[f.name] not in (None, ()) for f in table if f.needed and f.kind in _READERS)


def read_part(
    fields: Fields, field: Field, manner: Manner, make: Callable[..., T], default: D
) -> T | D:
    """What is made of the mapping under a field; ``default`` where it is missing or incomplete."""
    table = fields.table(field.key, needed=field.needed)
    if table is None:
        return default
    found = read_fields(table, field.fields, manner)
    table.close()
    return make(**found) if complete(found, field.fields) else default


def _text(field: Field, manner: Manner) -> Reader[str]:
    read_text = values.text(empty=field.empty)
    if field.span is None:
        return read_text
    longest = int(field.span.most)

    def read(scalar: Scalar) -> str:
        text = read_text(scalar)
        if len(text) > longest:
            raise BadValue(f"at most {longest} letters", "write a shorter name")
        return text

    return read


def key_text(scalar: Scalar) -> str:
    """The text of a key into the shop; what no profile is called is told by the caller."""
    return scalar.text


def _bend(field: Field, manner: Manner) -> Reader[float]:
    """A bend's angle, over 0 up to the end of its span; or the angle it includes."""
    span = _span(field)
    if manner.angles == "included":
        return values.included_angle(Span(180 - span.most, 180, over=span.under, under=True))
    return values.angle(manner.units is not None, span)


def _span(field: Field) -> Span:
    return field.span or Span(-values.ENDLESS, values.ENDLESS)


_READERS: dict[str, Callable[[Field, Manner], Reader[Any]]] = {
    "text": _text,
    "key": lambda field, manner: key_text,
    "choice": lambda field, manner: values.choice(*field.words),
    "whole": lambda field, manner: values.whole(_span(field)),
    "number": lambda field, manner: values.number(_span(field)),
    "length": lambda field, manner: values.length(manner.units, field.span),
    "angle": lambda field, manner: values.angle(manner.units is not None, _span(field)),
    "bend": _bend,
    "pressure": lambda field, manner: values.pressure(_span(field)),
    "share": lambda field, manner: values.share(_span(field)),
    "hardness": lambda field, manner: values.hardness,
    "seconds": lambda field, manner: values.seconds(_span(field)),
    "bytes": lambda field, manner: values.line_bytes,
}
