"""Frozen values whose class costs a start next to nothing.

``@frozen`` makes what ``@dataclass(frozen=True, slots=True)`` makes, for a fiftieth of the time:
``dataclasses`` writes the methods of each class as text and has them compiled, a millisecond a
class, at every start, and reads ``inspect`` to do it. A bend sheet would wait longer for that than
for all that it works out. The module itself takes such a value for one of its own.
"""

from operator import attrgetter
from typing import TYPE_CHECKING, Any, TypeVar, dataclass_transform

if TYPE_CHECKING:  # so that a checker of types looks at what is replaced
    from dataclasses import replace as replace

T = TypeVar("T")

_put = object.__setattr__


@dataclass_transform(frozen_default=True)
def frozen(cls: type[T]) -> type[T]:
    """The class with its annotated names as slots, compared, hashed and shown by their values.

    What a name is given in the class is its usual value: one that nothing changes. Setting a name
    raises AttributeError; making a value with names missing, unknown or given twice, TypeError.
    """
    own = tuple(cls.__annotations__)
    names = (*(n for n in getattr(cls, "__match_args__", ()) if n not in own), *own)
    body = {k: v for k, v in vars(cls).items() if k not in (*own, "__dict__", "__weakref__")}
    usual = {n: v for n, v in vars(cls).items() if n in own}
    kind: Any = type(cls)
    made: type[T] = kind(
        cls.__name__,
        cls.__bases__,
        {
            **_methods(names),
            **body,
            "__qualname__": cls.__qualname__,
            "__annotations__": cls.__annotations__,
            "__slots__": own,
            "__match_args__": names,
            "__usual__": {**getattr(cls, "__usual__", {}), **usual},
            "__dataclass_fields__": _DataclassFields(),
        },
    )
    return made


def _methods(names: tuple[str, ...]) -> dict[str, Any]:
    """What a class of these names does where it does not say otherwise."""
    values = attrgetter(*names) if names else lambda _: ()

    def equal(one: Any, other: Any) -> Any:
        return values(one) == values(other) if type(one) is type(other) else NotImplemented

    return {
        "__init__": _init,
        "__eq__": equal,
        "__hash__": lambda one: hash(values(one)),
        "__repr__": _repr,
        "__setattr__": _refuse,
        "__delattr__": _refuse,
        "__getstate__": lambda one: [getattr(one, name) for name in names],
        "__setstate__": _set_state,
    }


def _init(self: Any, /, *given: Any, **named: Any) -> None:
    names = self.__match_args__
    if named or len(given) != len(names):
        given = _completed(self, names, given, named)
    for name, value in zip(names, given, strict=True):
        _put(self, name, value)


def _completed(
    self: Any, names: tuple[str, ...], given: tuple[Any, ...], named: dict[str, Any]
) -> tuple[Any, ...]:
    """The values in their order, usual ones where none is given."""
    found = {**self.__usual__, **named}
    if given:
        if not named.keys().isdisjoint(names[: len(given)]):
            raise _wrong(self, given, named)
        found.update(zip(names, given, strict=False))
    if len(found) != len(names) or len(given) > len(names):
        raise _wrong(self, given, named)
    try:
        return tuple([found[name] for name in names])
    except KeyError:
        raise _wrong(self, given, named) from None


def _wrong(self: Any, given: tuple[Any, ...], named: dict[str, Any]) -> TypeError:
    names, usual = self.__match_args__, self.__usual__
    taken = names[: len(given)]
    missing = [n for n in names if n not in taken and n not in named and n not in usual]
    unknown = [n for n in named if n not in names]
    twice = [n for n in named if n in taken]
    said = {"missing": missing, "unknown": unknown, "given twice": twice}
    parts = [f"{what}: {', '.join(found)}" for what, found in said.items() if found]
    if len(given) > len(names):
        parts.append(f"{len(given)} values for {len(names)} names")
    return TypeError(f"{type(self).__name__}: {'; '.join(parts)}")


def _repr(self: Any) -> str:
    shown = ", ".join(f"{name}={getattr(self, name)!r}" for name in self.__match_args__)
    return f"{type(self).__qualname__}({shown})"


def _refuse(self: Any, name: str, *_: Any) -> None:
    raise AttributeError(f"cannot change {name} of a {type(self).__name__}: make another one")


def _set_state(self: Any, state: list[Any]) -> None:
    for name, value in zip(self.__match_args__, state, strict=True):
        _put(self, name, value)


if not TYPE_CHECKING:

    def replace(value, /, **changes):
        """Another value of the same class, with some of its names given anew."""
        kept = {name: getattr(value, name) for name in value.__match_args__}
        return type(value)(**{**kept, **changes})


class _DataclassFields:
    """What ``dataclasses`` looks a class of its own up by, made when somebody asks for it."""

    def __get__(self, value: Any, cls: Any) -> dict[str, Any]:
        from dataclasses import MISSING, field, make_dataclass

        hints = {n: t for c in reversed(cls.__mro__) for n, t in _own_hints(c).items()}
        usual = cls.__usual__
        fields = [
            (name, hints[name], field(default=usual.get(name, MISSING)))
            for name in cls.__match_args__
        ]
        made: Any = make_dataclass(cls.__name__, fields)
        found: dict[str, Any] = made.__dataclass_fields__
        cls.__dataclass_fields__ = found
        return found


def _own_hints(cls: type) -> dict[str, Any]:
    return getattr(cls, "__annotations__", {}) if "__slots__" in vars(cls) else {}
