"""Plain values: the round trip, and each refusal by its sentence."""

import json
from dataclasses import dataclass, field
from typing import Any, Literal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchcalc.core.serialize import deserialize, serialize


@dataclass(frozen=True, slots=True)
class Leaf:
    angle_deg: float
    by: Literal["hand", "sensor"]


@dataclass(frozen=True, slots=True)
class Tree:
    name: str
    count: int
    held: bool
    wide_mm: float | None
    first: Leaf | None
    leaves: tuple[Leaf, ...]
    corner: tuple[float, int]
    values: dict[str, Any] = field(hash=False)
    marks: dict[str, float] = field(hash=False)


@dataclass(frozen=True, slots=True)
class Odd:
    either: int | str


finite = st.floats(allow_nan=False, allow_infinity=False)
plain_values = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**60), 2**60) | finite | st.text(max_size=5),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=4), inner, max_size=3)
    ),
    max_leaves=8,
)
leaves = st.builds(Leaf, finite, st.sampled_from(["hand", "sensor"]))
trees = st.builds(
    Tree,
    name=st.text(max_size=8),
    count=st.integers(-(2**60), 2**60),
    held=st.booleans(),
    wide_mm=st.none() | finite,
    first=st.none() | leaves,
    leaves=st.lists(leaves, max_size=4).map(tuple),
    corner=st.tuples(finite, st.integers(-9, 9)),
    values=st.dictionaries(st.text(max_size=4), plain_values, max_size=3),
    marks=st.dictionaries(st.text(max_size=4), finite, max_size=3),
)


@given(trees)
def test_every_value_comes_back_through_json(tree: Tree) -> None:
    text = json.dumps(serialize(tree), allow_nan=False)
    back = deserialize(Tree, json.loads(text))
    assert back == tree
    assert json.dumps(serialize(back), allow_nan=False) == text


def good() -> dict[str, Any]:
    return {
        "name": "rack",
        "count": 3,
        "held": True,
        "wide_mm": 12,
        "first": None,
        "leaves": [{"angle_deg": 90, "by": "hand"}],
        "corner": [1, 2],
        "values": {"radius": 14.3},
        "marks": {"90": 1},
    }


def test_a_whole_number_becomes_the_float_it_stands_for() -> None:
    tree = deserialize(Tree, good())
    assert type(tree.wide_mm) is float
    assert type(tree.leaves[0].angle_deg) is float
    assert type(tree.corner[0]) is float and type(tree.corner[1]) is int


@pytest.mark.parametrize(
    ("key", "value", "says"),
    [
        ("name", 3, "Tree.name: 3: must be a text"),
        ("count", 3.0, "Tree.count: 3.0: must be a whole number"),
        ("count", True, "Tree.count: True: must be a whole number"),
        ("held", 1, "Tree.held: 1: must be true or false"),
        ("wide_mm", "12", "Tree.wide_mm: '12': must be a finite number"),
        ("wide_mm", True, "Tree.wide_mm: True: must be a finite number"),
        ("wide_mm", float("nan"), "Tree.wide_mm: nan: must be a finite number"),
        ("wide_mm", float("inf"), "Tree.wide_mm: inf: must be a finite number"),
        ("wide_mm", 10**400, "Tree.wide_mm: a whole number too large"),
        ("first", [], "Tree.first: []: must be a mapping"),
        ("leaves", {}, "Tree.leaves: {}: must be a list"),
        ("leaves", [{"angle_deg": 1, "by": "eye"}], "leaves[0].by: 'eye': must be one of 'hand'"),
        ("leaves", [{"angle_deg": 1}], "Tree.leaves[0]: by missing"),
        ("leaves", [{"angle_deg": 1, "by": "hand", "x": 1}], "Tree.leaves[0]: 'x' unknown"),
        ("corner", [1, 2, 3], "Tree.corner: [1, 2, 3]: must be a list of 2"),
        ("values", {1: 2}, "Tree.values: {1: 2}: must be a mapping from texts"),
        ("values", {"a": [float("nan")]}, "Tree.values['a']: nan is not a finite number"),
        ("marks", {"90": None}, "Tree.marks['90']: None: must be a finite number"),
    ],
)
def test_what_does_not_fit_is_refused_by_place(key: str, value: Any, says: str) -> None:
    with pytest.raises(ValueError) as caught:
        deserialize(Tree, good() | {key: value})
    assert says in str(caught.value)


def test_missing_and_unknown_keys_are_named_together() -> None:
    plain = good() | {"more": 1}
    del plain["name"], plain["count"]
    with pytest.raises(ValueError, match="Tree: name, count missing; 'more' unknown"):
        deserialize(Tree, plain)


@dataclass(frozen=True, slots=True)
class Younger:
    name: str
    since: int = 7
    notes: tuple[str, ...] = ()
    more: dict[str, Any] = field(default_factory=dict, hash=False)


def test_what_was_written_before_a_key_existed_takes_its_usual_value() -> None:
    assert deserialize(Younger, {"name": "a"}) == Younger("a")
    assert deserialize(Younger, {"name": "a", "notes": ["b"]}) == Younger("a", notes=("b",))
    with pytest.raises(ValueError, match="Younger: name missing"):
        deserialize(Younger, {"since": 1})
    with pytest.raises(ValueError, match="Younger: 'later' unknown"):
        deserialize(Younger, {"name": "a", "later": 1})


def test_long_values_are_cut_in_the_sentence() -> None:
    with pytest.raises(ValueError) as caught:
        deserialize(Tree, good() | {"count": "x" * 5000})
    assert len(str(caught.value)) < 120


@pytest.mark.parametrize("bad", [float("nan"), {1: 2}, {"a": object()}, {1, 2}, b"x"])
def test_what_has_no_plain_form_is_refused(bad: Any) -> None:
    with pytest.raises(ValueError):
        serialize(bad)


def test_a_number_that_is_not_finite_is_refused_by_place() -> None:
    tree = deserialize(Tree, good())
    bad = Tree(**{**{n: getattr(tree, n) for n in Tree.__slots__}, "first": Leaf(1e999, "hand")})
    with pytest.raises(ValueError, match=r"Tree\.first: Leaf\.angle_deg: inf is not a finite"):
        serialize(bad)


def test_a_hint_outside_the_list_is_a_fault_of_the_class() -> None:
    with pytest.raises(TypeError, match="no type hint that plain values"):
        deserialize(Odd, {"either": 1})


def test_nothing_mutable_is_shared() -> None:
    plain = good()
    tree = deserialize(Tree, plain)
    plain["values"]["radius"] = 0.0
    out = serialize(tree)
    out["values"]["radius"] = 1.0
    assert tree.values == {"radius": 14.3}
