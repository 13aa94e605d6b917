from dataclasses import replace

from benchcalc.app import opened
from benchcalc.files.loading import asset_path, load_job
from benchcalc.panel.screens.aside.shelf import SHELF
from benchcalc.panel.state.draft import draft_of
from benchcalc.panel.state.model import Model, Work, work_of, work_plain
from tests.panel.driver import Hands
from tests.panel.journeys import BENCH, JOB, RUN, SHOP, TO_FIRST_CHECK, demo_draft, typed

DEMO = load_job(asset_path("demo.yaml"), SHOP)


def test_the_way_on_says_what_is_missing_one_after_the_other() -> None:
    hands = Hands().tap("plan")
    assert "Not yet: choose the bender first." in hands.text
    hands.tap("set bender", "choose bench-10mm")
    assert "Not yet" not in hands.text, "a refusal is over with the next act"
    assert "give the tube's wall first" in hands.tap("plan").text
    hands.tap("set wall")
    assert "Not yet" not in hands.text
    assert "choose the material first" in hands.tap(*typed("1", "next"), "plan").text
    assert hands.tap("set material", "choose copper", "plan").shown == "plan"


def test_a_bender_brings_its_tube_and_its_units() -> None:
    hands = Hands().tap("set bender", "choose bench-1-4in")
    assert "0.25 in" in hands.text and hands.work.draft.rows[0].unit == "in"
    hands.tap("set wall", *typed("0.035", "next"))
    assert hands.work.draft.wall_mm == 0.035 * 25.4
    hands.tap("set bender", "choose bench-10mm")
    assert "10 mm" in hands.text and hands.work.draft.wall_mm is None


def test_a_bender_of_the_same_tube_keeps_the_wall_and_a_written_run_its_units() -> None:
    hands = Hands().tap(*BENCH, *RUN, "bench", "set bender", "choose bench-1-4in")
    draft = hands.work.draft
    assert draft.units == "mm" and draft.wall_mm == 1.0 and draft.rows[0].leg == "120"


def test_a_bender_whose_tube_the_wall_would_fill_asks_for_the_wall_again() -> None:
    hands = Hands().tap("set wall", *typed("3", "next"), "set material", "choose 304")
    assert hands.tap("set bender", "choose bench-3mm").work.draft.wall_mm is None
    hands = Hands().tap(*BENCH, *RUN, "bench", "set wall", *typed("1.6", "next"))
    hands.tap("set bender", "choose bench-3mm")
    assert "give the tube's wall first" in hands.tap("plan").text


def test_a_wall_given_before_the_bender_stays() -> None:
    hands = Hands().tap("set wall", *typed("1", "next"), "set bender", "choose bench-6mm")
    assert hands.work.draft.wall_mm == 1.0


def test_a_wall_that_makes_a_rod_is_refused_and_stays_typed() -> None:
    hands = Hands().tap(*BENCH[:4], "set wall", *typed("5", "next"))
    assert "A wall of 5 mm fills a tube of 10 mm: check both." in hands.text
    assert hands.shown == "write" and hands.work.writing.typed == "5"
    assert hands.work.draft.wall_mm is None
    hands.tap("back", *typed("4.9", "next"))
    assert hands.work.draft.wall_mm == 4.9
    hands.tap("set od", *typed("9.8", "next"))
    assert "fills a tube" in hands.text and hands.work.draft.od_mm is None


def test_a_size_out_of_range_says_its_limits() -> None:
    hands = Hands().tap("set od", *typed("61", "next"))
    assert "it goes from 0.5 mm to 60 mm" in hands.text and "61 mm" in hands.text
    assert "nothing written" in Hands().tap("set wall", "next").text


def test_the_unit_key_of_a_size_shows_the_same_size() -> None:
    hands = Hands().tap("set bender", "choose bench-10mm", "set wall", *typed("0.889"))
    assert hands.tap("unit").work.writing.typed == "0.035"
    assert "0.035 in" in hands.text
    hands.tap("next")
    assert hands.work.draft.wall_mm == 0.889
    hands.tap("set od", "unit")
    assert "10 mm" in hands.text and "10 mm in" not in hands.text
    assert hands.tap("next").work.draft.od_mm == 10.0


def test_leaving_a_value_keeps_the_old_one() -> None:
    hands = Hands().tap(*BENCH[:-1], "set lot", *typed("X9"), "cancel")
    assert hands.work.draft.lot == "H4-7"


def test_lot_and_name_are_written_in_letters() -> None:
    hands = Hands().tap("set lot", *typed("A/7.-B"), "back", "next")
    assert hands.work.draft.lot == "A/7.-"
    hands.tap("set name", *typed("PUMP RACK"), "next")
    assert "PUMP RACK" in hands.text
    hands.tap("set lot", "key Z")
    assert hands.work.writing.typed == "Z", "the first letter replaces what stood there"


def test_pieces_are_a_whole_number() -> None:
    hands = Hands().tap("set pieces", *typed("12", "next"))
    assert hands.work.draft.pieces == 12
    assert hands.tap("set pieces").scene.target("key .") is None
    assert "it goes from 1 to 9999" in hands.tap("key 0", "next").text


def test_the_tape_changes_how_a_mark_is_told() -> None:
    hands = Hands().tap(*BENCH, *RUN, "earlier")
    assert "tape 193.5 mm and 0.2" in hands.text
    hands.tap("bench", "set tape", "choose 1/32 in", "plan", "look")
    assert "tape 7 5/8 in" in hands.text


def test_other_work_is_put_on_the_shelf_and_taken_back() -> None:
    hands = Hands().tap(*BENCH, *RUN, "make", *TO_FIRST_CHECK, "plan", "bench")
    before = hands.work
    hands.tap("new")
    assert hands.work.draft.rows[0].leg == "" and hands.work.making is None
    hands.tap("jobs", "take 1")
    assert (hands.work.draft, hands.work.making) == (before.draft, before.making)
    assert hands.work.screen == "make" and hands.work.shelf == ()


def test_a_shelf_holds_more_than_one_and_taking_back_puts_the_work_in_hand_aside() -> None:
    hands = Hands().tap(*BENCH, *RUN, "bench")
    hands.model = opened(hands.model, DEMO)
    assert hands.work.draft.name == DEMO.name and len(hands.work.shelf) == 1
    hands.tap("bench", "jobs", "take 1")
    assert hands.work.draft.rows[0].leg == "120"
    assert [shelved.draft.name for shelved in hands.work.shelf] == [DEMO.name]


def test_the_same_job_opened_again_goes_on_where_it_was() -> None:
    hands = Hands()
    hands.model = opened(hands.model, DEMO)
    hands.tap("make", "next", "next")
    assert opened(hands.model, DEMO) == hands.model


def test_another_job_opened_over_a_half_bent_piece_keeps_it() -> None:
    hands = Hands().tap(*BENCH, *RUN, "make", *TO_FIRST_CHECK, *typed("9"))
    before = hands.work
    hands.model = opened(hands.model, DEMO)
    assert hands.work.draft == draft_of(DEMO) and hands.shown == "plan"
    hands.tap("bench", "jobs", "take 1")
    assert hands.work.making == before.making and "9°" in hands.text


def test_a_finished_job_that_is_put_aside_cannot_be_stored_twice() -> None:
    hands = Hands().tap(*JOB)
    hands.model = opened(hands.model, DEMO)
    hands.tap("bench", "jobs", "take 1")
    assert hands.shown == "plan" and hands.work.making is None


def test_nothing_worth_keeping_is_put_on_no_shelf() -> None:
    hands = Hands().tap("set bender", "choose bench-10mm")
    before = hands.work
    assert hands.scene.target("new") is None
    hands.tap("set lot", "key A", "cancel")
    assert hands.work.shelf == () and hands.work.draft == before.draft


def test_a_new_job_keeps_the_tube_that_is_on_the_bench() -> None:
    hands = Hands().tap(*BENCH, "bench")
    assert hands.scene.target("new") is None, "there is no job yet"
    bench = hands.work.draft
    hands.tap("plan", *RUN, "bench", "new")
    assert hands.work.draft == bench and hands.work.screen == "bench"
    assert (bench.wall_mm, bench.material and bench.material.key, bench.lot) == (1.0, "316", "H4-7")


def test_what_was_undone_can_be_undone_again_after_it_was_put_aside() -> None:
    hands = Hands().tap(*BENCH, *RUN, "bench")
    edits = hands.work.undo
    hands.tap("new", "jobs", "take 1")
    assert hands.work.undo == edits and edits


def test_too_many_are_refused_and_none_is_lost() -> None:
    hands = Hands().tap(*BENCH, *RUN, "make", "next", "plan", "bench", "new")
    for number in range(SHELF - 1):
        hands.tap("set name", *typed(str(number)), "next", "new")
    hands.tap("set name", *typed("Z"), "next")
    before = hands.work
    hands.tap("new")
    assert "no more have room" in hands.text and hands.work == before
    assert [one.draft.name for one in hands.work.shelf[1:]] == [str(n) for n in range(SHELF - 1)]
    hands.tap("jobs", "take 1")
    assert hands.work.draft.name == str(SHELF - 2) and len(hands.work.shelf) == SHELF


def test_a_name_typed_and_not_taken_is_there_again() -> None:
    hands = Hands().tap("set name", *typed("ABC"), "cancel")
    assert hands.work.draft.name == ""
    assert hands.tap("set name", *typed("D"), "next").work.draft.name == "ABCD"
    assert hands.tap("set name", *typed("E"), "next").work.draft.name == "E"


def test_a_half_typed_lot_outlasts_what_else_is_opened_and_a_restart() -> None:
    hands = Hands(Model(SHOP, work=Work("plan", demo_draft()))).tap("bench", "set lot")
    hands.tap(*["back"] * len(hands.work.writing.typed), *typed("Q7"), "cancel", "set bender")
    hands.tap("cancel", "set wall", "cancel", "plan", "findings", "plan", "bench")
    hands.model = replace(hands.model, work=work_of(work_plain(hands.work)))
    assert hands.tap("set lot").work.writing.typed == "Q7"
    assert hands.tap("next").work.draft.lot == "Q7" and not hands.work.unfinished
    hands.tap("set lot", "cancel")
    assert not hands.work.unfinished, "nothing was typed"


def test_work_saved_on_a_screen_that_has_another_name_now_is_read() -> None:
    saved = work_plain(Work("findings", demo_draft()))
    saved["work"]["screen"] = "minds"
    for name in ("findings_page", "unfinished"):
        del saved["work"][name]
    assert work_of(saved) == Work("findings", demo_draft())


def test_a_new_job_on_an_inch_bender_is_typed_in_inches() -> None:
    hands = Hands().tap("set bender", "choose bench-1-4in", "set name", "key A", "next", "new")
    assert hands.work.draft.rows[0].unit == "in" and hands.work.draft.units == "in"
    assert hands.tap("jobs", "take 1").work.draft.name == "A"


def test_there_is_no_new_job_to_begin_on_an_empty_bench() -> None:
    assert Hands().scene.target("new") is None


def test_a_new_run_after_the_last_piece_stays_on_the_bench_as_it_is() -> None:
    hands = Hands().tap(*JOB)
    old = hands.work.draft
    new = hands.tap("new").work
    assert new.screen == "plan" and new.making is None and new.draft.rows[0].leg == ""
    assert replace(new.draft, rows=old.rows) == old
    assert hands.tap("bench").work.draft.lot == "H4-7"
    assert hands.tap("jobs", "take 1").work.draft == old and hands.work.making is None


def test_from_the_bench_a_half_bent_piece_is_gone_on_with_and_nothing_else() -> None:
    hands = Hands().tap(*BENCH, *RUN, "make", "next", "plan", "bench", "plan")
    assert hands.shown == "plan"
    hands.tap("make", *TO_FIRST_CHECK[1:], "plan", "bench", "plan")
    assert hands.shown == "check"


def test_an_empty_panel_is_an_empty_bench() -> None:
    assert Hands().work == Work()
