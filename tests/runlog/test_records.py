"""What is remembered of a piece comes back exactly."""

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchcalc.core.plain import from_plain, to_plain
from benchcalc.runlog.records import BendRecord, PieceRecord, Pull

number = st.floats(-1e6, 1e6, allow_nan=False)
word = st.text(max_size=12)
pulls = st.builds(Pull, number, number, st.sampled_from(["hand", "sensor"]))
bends = st.builds(
    BendRecord,
    number=st.integers(1, 99),
    target_deg=number,
    overbend_deg=number,
    bend_to_deg=number,
    first_pull_deg=number,
    pulls=st.lists(pulls, max_size=3).map(tuple),
    line=word,
    mark_mm=number,
    turn_deg=number,
    held=st.sampled_from(["reference", "far"]),
    radius_mm=number,
    released_deg=st.none() | number,
    verdict=word,
)
flat = st.dictionaries(word, number | word | st.none(), max_size=3)
pieces = st.builds(
    PieceRecord,
    name=word,
    drawing=word,
    operator=word,
    piece=st.integers(1, 999),
    pieces=st.integers(1, 999),
    od_mm=number,
    wall_mm=number,
    material=word,
    lot=word,
    bender=word,
    bender_values=flat,
    cut_length_mm=number,
    bends=st.lists(bends, max_size=3).map(tuple),
    findings=st.lists(flat, max_size=2).map(tuple),
    outcome=st.sampled_from(["made", "scrapped"]),
    why=word,
    software=word,
)


@given(pieces)
def test_a_piece_comes_back_through_json(piece: PieceRecord) -> None:
    assert from_plain(PieceRecord, json.loads(json.dumps(to_plain(piece)))) == piece


@given(pieces, st.sampled_from(sorted(PieceRecord.__slots__)))
def test_a_piece_without_one_of_its_keys_is_refused(piece: PieceRecord, key: str) -> None:
    plain: dict[str, Any] = to_plain(piece)
    del plain[key]
    with pytest.raises(ValueError, match=f"PieceRecord: {key} missing"):
        from_plain(PieceRecord, plain)
