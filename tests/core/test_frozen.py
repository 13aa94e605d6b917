"""Frozen values do what those of ``dataclasses`` do: each is asked beside its twin.

Source: Python documentation, dataclasses (frozen=True, slots=True).
"""

import copy
import dataclasses
import pickle
from typing import Any, get_type_hints

import pytest

from benchcalc.core.frozen import frozen, replace


@frozen
class Plain:
    """Two names that must be given, one that is usual."""

    a_mm: float
    name: str
    turn_deg: float | None = None

    @property
    def twice_mm(self) -> float:
        return 2 * self.a_mm


@frozen
class More(Plain):
    held: tuple[int, ...] = ()


@frozen
class Nothing:
    """A value that only says what it is."""


@dataclasses.dataclass(frozen=True, slots=True)
class Twin:
    a_mm: float
    name: str
    turn_deg: float | None = None


Made = tuple[tuple[Any, ...], dict[str, Any]]
GIVEN: list[Made] = [
    ((1.0, "x"), {}),
    ((1.0, "x", 2.0), {}),
    ((1.0,), {"name": "x"}),
    ((), {"name": "x", "a_mm": 1.0, "turn_deg": None}),
]
REFUSED: list[Made] = [
    ((), {}),
    ((1.0,), {}),
    ((1.0, "x", 2.0, 3), {}),
    ((1.0, "x"), {"a_mm": 2.0}),
    ((1.0, "x"), {"other": 2.0}),
    ((1.0,), {"other": 2.0}),
]


@pytest.mark.parametrize(("given", "named"), GIVEN)
def test_made_shown_compared_and_hashed_like_its_twin(
    given: tuple[Any, ...], named: dict[str, Any]
) -> None:
    one, twin = Plain(*given, **named), Twin(*given, **named)
    other: object = twin
    assert repr(one) == repr(twin).replace("Twin", "Plain")
    assert dataclasses.asdict(one) == dataclasses.asdict(twin)
    assert one == Plain(*given, **named)
    assert hash(one) == hash(Plain(*given, **named))
    assert one != Plain(9.0, "x")
    assert one != other


@pytest.mark.parametrize(("given", "named"), REFUSED)
def test_what_its_twin_refuses_is_refused(given: tuple[Any, ...], named: dict[str, Any]) -> None:
    with pytest.raises(TypeError):
        Twin(*given, **named)
    with pytest.raises(TypeError, match="Plain: "):
        Plain(*given, **named)


def test_nothing_about_it_changes() -> None:
    one = Plain(1.0, "x")
    for name in ("a_mm", "other"):
        with pytest.raises(AttributeError):
            setattr(one, name, 2.0)
    with pytest.raises(AttributeError):
        del one.name
    assert not hasattr(one, "__dict__")
    assert (one.a_mm, one.twice_mm) == (1.0, 2.0)


def test_a_class_of_another_holds_its_names_too() -> None:
    more = More(1.0, "x", held=(2,))
    assert repr(more) == "More(a_mm=1.0, name='x', turn_deg=None, held=(2,))"
    assert more != Plain(1.0, "x")
    assert replace(more, name="y") == More(1.0, "y", None, (2,))
    assert list(get_type_hints(More)) == ["a_mm", "name", "turn_deg", "held"]
    assert Nothing() == Nothing()
    assert hash(Nothing()) == hash(Nothing())


def test_the_library_knows_it_as_one_of_its_own() -> None:
    more = More(1.0, "x", 2.0)
    known: object = More
    assert dataclasses.is_dataclass(known)
    fields = {field.name: field.default for field in dataclasses.fields(more)}
    assert list(fields) == ["a_mm", "name", "turn_deg", "held"]
    assert (fields["name"], fields["held"]) == (dataclasses.MISSING, ())
    change: Any = dataclasses.replace
    assert change(more, held=(1,)) == More(1.0, "x", 2.0, (1,))
    for again in (copy.copy(more), copy.deepcopy(more), pickle.loads(pickle.dumps(more))):
        assert again == more
    match more:
        case Plain(a, name):
            assert (a, name) == (1.0, "x")
