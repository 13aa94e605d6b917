"""What is remembered of a piece comes back exactly."""

import json
import random
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchcalc.core.serialize import deserialize, serialize
from benchcalc.runlog.records import (
    SCHEMA_VERSION,
    BendRecord,
    PieceRecord,
    PullRecord,
    RemarkRecord,
    remark,
    upgraded,
)
from tests.runlog.bench_log import old_piece, piece

number = st.floats(-1e6, 1e6, allow_nan=False)
word = st.text(max_size=12)
pulls = st.builds(
    PullRecord,
    number,
    number,
    st.sampled_from(["hand", "sensor"]),
    st.none() | number,
    st.none() | number,
)
bends = st.builds(
    BendRecord,
    number=st.integers(1, 99),
    order=st.none() | st.integers(1, 99),
    overbend_from=st.sampled_from(["estimate", "measured"]),
    counted=st.none() | st.floats(0, 1),
    calipers_mm=st.none() | st.tuples(st.floats(1, 9), st.floats(1, 9)),
    target_deg=number,
    overbend_deg=number,
    bend_to_deg=number,
    first_pull_deg=number,
    pulls=st.lists(pulls, max_size=3).map(tuple),
    line=word,
    mark_mm=st.none() | number,
    turn_deg=number,
    held=st.sampled_from(["reference", "far"]),
    radius_mm=number,
    released_deg=st.none() | number,
    verdict=word,
)
flat = st.dictionaries(word, number | word | st.none(), max_size=3)
pieces = st.builds(
    PieceRecord,
    form=st.just(SCHEMA_VERSION),
    material_values=flat,
    theory=st.none() | st.dictionaries(st.text(max_size=5), st.floats(-1, 1), max_size=3),
    tolerance_deg=st.none() | number,
    corrections=st.lists(flat, max_size=2).map(tuple),
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
    assert deserialize(PieceRecord, json.loads(json.dumps(serialize(piece)))) == piece


@given(pieces, st.sampled_from(sorted({*PieceRecord.__slots__} - {"as_made"})))
def test_a_piece_without_one_of_its_keys_is_refused(piece: PieceRecord, key: str) -> None:
    plain: dict[str, Any] = serialize(piece)
    del plain[key]
    with pytest.raises(ValueError, match=f"PieceRecord: {key} missing"):
        deserialize(PieceRecord, plain)


def test_a_piece_of_the_first_form_is_brought_up_when_it_is_read() -> None:
    old = old_piece(random.Random(3))
    before = json.dumps(old)
    new = deserialize(PieceRecord, upgraded(old))
    assert json.dumps(old) == before
    assert (new.form, new.tolerance_deg, new.material_values, new.corrections) == (2, None, {}, ())
    assert [(b.order, b.overbend_from) for b in new.bends] == [(None, "estimate")] * 2
    assert new.findings[0]["overridden_by"] is None
    assert new.bends[0].pulls == deserialize(PieceRecord, upgraded(old)).bends[0].pulls


def test_a_piece_of_this_form_is_read_as_it_is() -> None:
    made = piece(random.Random(3))
    assert upgraded(made) is made
    again = serialize(deserialize(PieceRecord, made))
    for bend, was in zip(again["bends"], made["bends"], strict=True):
        for name in bend.keys() - was.keys():
            assert bend.pop(name) is None, "what an older version did not keep"
        for pull in bend["pulls"]:
            assert pull.pop("told_deg") is None, "what an older version did not keep"
    assert again.pop("as_made") is None, "what an older version did not keep"
    assert again == made


def test_a_piece_of_a_newer_form_is_refused() -> None:
    with pytest.raises(ValueError, match="form 3: this program knows up to 2"):
        upgraded({**piece(random.Random(3)), "form": 3})


def test_a_remark_points_at_a_record_and_says_something() -> None:
    told = deserialize(RemarkRecord, remark(7, "leaks", "R. Ost"))
    assert (told.about, told.text, told.operator) == (7, "leaks", "R. Ost")
    with pytest.raises(ValueError, match="numbered from 1"):
        remark(0, "leaks")
    with pytest.raises(ValueError, match="says nothing"):
        remark(1, "  ")
