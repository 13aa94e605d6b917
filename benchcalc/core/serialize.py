"""Frozen dataclasses to plain JSON values and back, strictly.

``serialize`` makes dicts, lists, texts, numbers, booleans and None; ``deserialize`` reads them by
the type hints of the class. It knows str, int, float, bool, None, Literal, ``X | None``,
``tuple[X, ...]``, ``tuple[X, Y]``, ``dict[str, X]``, Any (a plain value) and dataclasses of these.
What does not fit exactly is refused with a sentence that names the place. A key that is missing
takes its usual value where the class has one: it was written before there was such a key.
"""

from collections.abc import Callable
from dataclasses import MISSING, fields, is_dataclass
from functools import cache
from math import isfinite
from types import NoneType, UnionType
from typing import Any, Literal, TypeVar, Union, cast, get_args, get_origin, get_type_hints

T = TypeVar("T")
Reader = Callable[[Any, Any, str], Any]


def serialize(value: Any) -> Any:
    """The plain form of a dataclass (or of a plain value): a new value that shares nothing mutable.

    Tuples become lists. Raises ValueError for a number that is not finite, a dict key that is no
    text, or a type with no plain form.
    """
    kind = type(value)
    if kind is str or kind is int or kind is bool or value is None:
        return value
    if kind is float:
        if isfinite(value):
            return value
        raise ValueError(f"{value} is not a finite number: only finite numbers can be kept")
    if kind is tuple or kind is list:
        return [serialize(item) for item in value]
    if kind is dict:
        return {_text_key(key): serialize(item) for key, item in value.items()}
    return _dataclass_to_plain(kind, value)


def _dataclass_to_plain(kind: type, value: Any) -> dict[str, Any]:
    plain: dict[str, Any] = {}
    name = ""
    try:
        for name in _names(kind):
            plain[name] = serialize(getattr(value, name))
    except ValueError as error:
        place = f"{kind.__name__}.{name}: " if name else ""
        raise ValueError(f"{place}{error}") from None
    return plain


def _text_key(key: Any) -> str:
    if type(key) is not str:
        raise ValueError(f"the key {key!r} is no text: only texts can be keys")
    return key


@cache
def _names(kind: type) -> tuple[str, ...]:
    if not is_dataclass(kind):
        raise ValueError(f"a {kind.__name__} has no plain form: keep it as a text or a number")
    return tuple(f.name for f in fields(kind))


def deserialize(cls: type[T], plain: Any) -> T:
    """Read a value of ``cls`` back from its plain form.

    A whole number given for a float becomes a float. Raises ValueError, naming the place, for an
    unknown key, a missing one without a usual value, or a value that is not of its type; TypeError
    for a type hint that this module does not know: a fault of the class and not of the value.
    """
    return cast(T, _read(cls, plain, cls.__name__))


def _read(hint: Any, value: Any, where: str) -> Any:
    return _reader(hint)(hint, value, where)


@cache
def _reader(hint: Any) -> Reader:
    if hint is Any:
        return _read_any
    if hint is float:
        return _read_float
    if hint in (str, int, bool, NoneType):
        return _read_exact
    if is_dataclass(hint):
        return _read_dataclass
    origin = get_origin(hint)
    if origin is tuple:
        return _read_tuple
    if origin is dict and get_args(hint)[0] is str:
        return _read_dict
    if origin is Literal:
        return _read_literal
    if origin in (Union, UnionType) and len(get_args(hint)) == 2 and NoneType in get_args(hint):
        return _read_optional
    raise TypeError(f"{hint} is no type hint that plain values can be read by")


def _refused(where: str, value: Any, wanted: str) -> ValueError:
    shown = repr(value)
    shown = shown if len(shown) <= 60 else f"{shown[:57]}..."
    return ValueError(f"{where}: {shown}: must be {wanted}")


def _read_any(_hint: Any, value: Any, where: str) -> Any:
    try:
        return serialize(value)
    except ValueError as error:
        raise ValueError(f"{where}: {error}") from None


def _read_float(_hint: Any, value: Any, where: str) -> float:
    if type(value) in (int, float):
        try:
            number = float(value)
        except OverflowError:
            raise ValueError(f"{where}: a whole number too large to keep exactly") from None
        if isfinite(number):
            return number
    raise _refused(where, value, "a finite number")


_WANTED = {str: "a text", int: "a whole number", bool: "true or false", NoneType: "null"}


def _read_exact(hint: Any, value: Any, where: str) -> Any:
    if type(value) is not hint:
        raise _refused(where, value, _WANTED[hint])
    return value


def _read_literal(hint: Any, value: Any, where: str) -> Any:
    choices = get_args(hint)
    if not any(type(value) is type(choice) and value == choice for choice in choices):
        raise _refused(where, value, f"one of {', '.join(map(repr, choices))}")
    return value


def _read_optional(hint: Any, value: Any, where: str) -> Any:
    if value is None:
        return None
    inner = next(arm for arm in get_args(hint) if arm is not NoneType)
    return _read(inner, value, where)


def _read_tuple(hint: Any, value: Any, where: str) -> tuple[Any, ...]:
    if type(value) is not list:
        raise _refused(where, value, "a list")
    hints = get_args(hint)
    if len(hints) == 2 and hints[1] is Ellipsis:
        hints = (hints[0],) * len(value)
    if len(hints) != len(value):
        raise _refused(where, value, f"a list of {len(hints)}")
    pairs = zip(hints, value, strict=True)
    return tuple(_read(inner, item, f"{where}[{i}]") for i, (inner, item) in enumerate(pairs))


def _read_dict(hint: Any, value: Any, where: str) -> dict[str, Any]:
    if type(value) is not dict or not all(type(key) is str for key in value):
        raise _refused(where, value, "a mapping from texts")
    inner = get_args(hint)[1]
    return {key: _read(inner, item, f"{where}[{key!r}]") for key, item in value.items()}


@cache
def _with_usual(cls: type) -> frozenset[str]:
    """The names whose values the class knows itself."""
    return frozenset(
        f.name for f in fields(cls) if f.default is not MISSING or f.default_factory is not MISSING
    )


@cache
def _hints(cls: type) -> dict[str, Any]:
    hints = get_type_hints(cls)
    return {name: hints[name] for name in _names(cls)}


def _read_dataclass(cls: Any, value: Any, where: str) -> Any:
    if type(value) is not dict:
        raise _refused(where, value, "a mapping")
    hints = _hints(cls)
    if value.keys() != hints.keys() and (wrong := _key_sentence(cls, value, where)):
        raise ValueError(wrong)
    return cls(**{name: _read(hints[name], value[name], f"{where}.{name}") for name in value})


def _key_sentence(cls: Any, value: dict[Any, Any], where: str) -> str:
    hints, usual = _hints(cls), _with_usual(cls)
    missing = [name for name in hints if name not in value and name not in usual]
    unknown = [repr(key) for key in value if key not in hints]
    parts = [f"{', '.join(missing)} missing"] if missing else []
    parts += [f"{', '.join(unknown)} unknown"] if unknown else []
    if not parts:
        return ""
    return f"{where}: {'; '.join(parts)}: it was written by another version of the program"
