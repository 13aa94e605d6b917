"""A stored piece on the panel, and what is remarked on it later."""

from dataclasses import replace

import pytest

from benchcalc.core.serialize import deserialize
from benchcalc.core.springback.lessons import PIECE, REMARK
from benchcalc.panel.state.model import Model
from benchcalc.report.settings import Settings
from benchcalc.runlog.records import RemarkRecord, remark
from tests.panel.driver import Hands
from tests.panel.journeys import JOB, typed

SAID = "WEEPS AT THE FERRULE"


def stored() -> Hands:
    """One piece is made and stored."""
    return Hands().tap(*JOB)


def test_a_remark_typed_on_the_panel_is_the_record_that_the_command_writes() -> None:
    hands = stored().tap("piece", "remark", *typed(SAID, "next"))
    assert [kept.kind for kept in hands.log] == [PIECE, REMARK]
    assert hands.log[1].body == remark(1, SAID)
    assert deserialize(RemarkRecord, hands.log[1].body).about == 1
    assert f"record 2: {SAID}" in hands.text
    assert hands.tap("cancel").shown == "kept"


def test_it_is_found_from_the_bench_by_one_of_its_bends() -> None:
    hands = stored().tap("bench", "learnt", "piece")
    assert "Record 1: " in hands.text and "89.8° for 90°,  46.2° for 45°" in hands.text
    hands.tap("remark", *typed("DENTED", "next"))
    assert hands.log[-1].body == remark(1, "DENTED") and "DENTED" in hands.text
    assert hands.tap("cancel").shown == "bench"


def test_the_power_goes_at_any_letter() -> None:
    hands = stored().tap("piece", "remark")
    for tap in typed(SAID):
        hands.tap(tap)
        again = hands.restart()
        assert again.work == hands.work and again.text == hands.text, tap
    again = hands.restart().tap("next")
    assert again.log[-1].body == remark(1, SAID) and again.restart().shown == "kept"


def test_left_unsaid_it_leaves_no_record() -> None:
    hands = stored().tap("piece", "remark", *typed("X"), "cancel")
    assert len(hands.log) == 1 and "Record 1: " in hands.text
    hands.tap("remark", "back", "next")
    assert "Nothing is written yet" in hands.text and hands.shown == "write"
    hands.tap("key  ", "next")
    assert len(hands.log) == 1


def test_left_unsaid_it_is_there_again() -> None:
    hands = stored().tap("piece", "remark", *typed("WE"), "cancel", "remark", *typed("EPS"), "next")
    assert "WEEPS" in hands.text and len(hands.log) == 2
    assert hands.tap("remark").work.writing.typed == ""


def test_the_pieces_before_and_after_it() -> None:
    hands = stored()
    hands.tap("piece", "remark", *typed("FIRST", "next"), "cancel")
    hands.log += [hands.log[0]] * 2
    hands.tap("piece", "later")
    assert "Record 3: " in hands.text and "FIRST" not in hands.text
    assert "Record 4: " in hands.tap("later").text
    assert "no other piece" in hands.tap("later").text
    assert "FIRST" in hands.tap("earlier", "earlier").text
    assert "no other piece" in hands.tap("earlier").text


def test_without_a_piece_that_is_said() -> None:
    hands = Hands().tap("learnt", "piece")
    assert "No piece is stored yet." in hands.text
    assert hands.scene.target("remark") is None and hands.tap("cancel").shown == "learnt"


@pytest.mark.parametrize(("language", "says"), [("de", "Anriss"), ("es", "marca")])
def test_why_it_was_scrapped_is_told_in_the_language_that_is_set(language: str, says: str) -> None:
    settings = Settings(language=language)  # type: ignore[arg-type]
    hands = Hands(replace(Model(Hands().shop), settings=settings))
    hands.tap(*JOB[: JOB.index("make") + 1], "next", "scrap", "because mark")
    assert hands.records[0]["why"] == "wrong mark or turn"
    hands.tap("plan", "bench", "learnt", "piece")
    assert says in hands.text and "wrong mark" not in hands.text
