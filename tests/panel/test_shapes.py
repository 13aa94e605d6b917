"""Shapes by taps: put in, changed, loosened, taken back, kept; the same run as from a file."""

from dataclasses import replace

import pytest

from benchcalc.core.job import Job, Run
from benchcalc.core.shapes.drawing import DrawnJob, drawing_of
from benchcalc.core.shapes.named_shapes import Saddle, radius_of
from benchcalc.core.springback.learning import Bent, Taught, springback_of, teach
from benchcalc.jobfile.job import parse_job
from benchcalc.jobfile.writer import format_job
from benchcalc.panel.state.draft import draft_of
from benchcalc.panel.state.in_hand import subject_of, work_in_hand
from benchcalc.panel.state.model import Draft, Model, Row, Work
from benchcalc.panel.state.shape_forms import FORMS
from benchcalc.report.settings import Settings
from tests.panel.driver import Hands
from tests.panel.journeys import (
    BENCH,
    LEG_AND_BEND,
    PORT,
    PORTS,
    RUN,
    SHAPES,
    SHOP,
    shape,
    typed,
)

HEAD = """benchcalc: 1
name: water-sampling rack, by hand
tube: {od: 10, wall: 1, material: 316}
bender: bench-10mm
"""
FIRST, LAST = "  - {leg: 120, bend: 90}\n", "  - {leg: 150}\n"
IN_A_FILE = {
    "offset": "{offset: {leg: 120, height: 60, angle: 45, turn: 90}}",
    "rolling_offset": "{rolling_offset: {leg: 120, rise: 40, roll: 30, angle: 45}}",
    "saddle": "{saddle: {centre: 260, height: 45, angle: 60}}",
    "flat_saddle": "{saddle: {centre: 300, height: 50, angle: 45, flat: 60}}",
    "u": "{u: {leg: 160, width: 120}}",
}
WHOLE = {
    "port": (
        (*LEG_AND_BEND, *shape("port", *PORT), "take"),
        f"run:\n{FIRST}  - {{port: {{at: [300, 320, 140], along: [0, 0, 1]}}}}\n",
    ),
    "ports": (
        (*shape("ports", *PORTS), "choose 2", "take"),
        "ports: {start: {at: [0, 0, 0], along: [1, 0, 0]}, "
        "finish: {at: [300, 180, 120], along: [0, 0, 1]}, take: 2}\n",
    ),
    "parallel": (
        (*RUN, *shape("parallel", "30", "90")),
        "parallel: {spacing: 30, side: 90}\nrun:\n"
        f"{FIRST}  - {{leg: 85, bend: 45, turn: 90}}\n  - {{leg: 160}}\n",
    ),
} | {
    kind: (
        (*LEG_AND_BEND, *shape(kind, *texts), "next", *typed("150")),
        f"run:\n{FIRST}  - {IN_A_FILE[kind]}\n{LAST}",
    )
    for kind, texts in SHAPES.items()
}


def planning(*taps: str) -> Hands:
    return Hands().tap(*BENCH, *taps)


def job_in(hands: Hands) -> Job:
    read = work_in_hand(hands.model)
    assert read.whole and read.sheet is not None, read
    return read.sheet.job


def widths_of(job: Job) -> tuple[tuple[int, float], ...]:
    return job.u_widths if isinstance(job, DrawnJob) else ()


def from_file(body: str) -> Job:
    return parse_job((HEAD + body).encode(), "job.yaml", SHOP)


def test_every_shape_of_a_form_is_tried() -> None:
    assert WHOLE.keys() == FORMS.keys()


@pytest.mark.parametrize("kind", WHOLE)
def test_by_taps_it_is_the_run_that_a_file_gives(kind: str) -> None:
    taps, body = WHOLE[kind]
    mine, theirs = job_in(planning(*taps)), from_file(body)
    assert mine.run == theirs.run
    assert widths_of(mine) == widths_of(theirs)
    assert drawing_of(mine) == drawing_of(theirs)


@pytest.mark.parametrize("kind", WHOLE)
def test_opened_from_a_file_it_is_that_shape_still(kind: str) -> None:
    taps, body = WHOLE[kind]
    job = from_file(body)
    opened = Hands(Model(SHOP, work=Work("plan", draft_of(job))))
    kept = job_in(opened)
    assert drawing_of(kept) == drawing_of(job) and kept.run == job.run
    assert parse_job(format_job(kept).encode(), "again", SHOP) == job
    assert draft_of(job).rows == planning(*taps).model.draft.rows


def test_points_of_a_drawing_are_kept_until_a_row_is_changed() -> None:
    body = "points: [[0, 0, 0], [60, 0, 0], [120, 0, 0], [120, 90, 0], [160, 90, 150]]\n"
    job = from_file(body)
    hands = Hands(Model(SHOP, work=Work("plan", draft_of(job))))
    kept, given = drawing_of(job_in(hands)), drawing_of(job)
    assert kept and given and kept.in_line == (2,)
    assert kept.points == given.points and kept.goal is None
    hands.tap("key 9")
    read = work_in_hand(hands.model)
    assert read.sheet is not None and read.sheet.drawing is None
    assert drawing_of(job_in(hands.tap("undo"))) == kept


@pytest.mark.parametrize("kind", WHOLE)
def test_the_power_goes_at_any_tap_of_a_form(kind: str) -> None:
    hands = planning()
    for tap in WHOLE[kind][0]:
        hands.tap(tap)
        again = hands.restart()
        hands.model = replace(hands.model, refusal=None)
        assert (again.work, again.text) == (hands.work, hands.text), tap


@pytest.mark.parametrize("kind", WHOLE)
def test_undo_takes_it_out_again(kind: str) -> None:
    taps = WHOLE[kind][0]
    end = len(taps) - taps[::-1].index("shape") - 1
    before = planning(*taps[:end])
    hands = planning(*taps)
    while hands.model.draft != before.model.draft:
        hands.tap("undo")


def test_a_shape_is_changed_as_a_shape() -> None:
    hands = planning(*LEG_AND_BEND, *shape("offset", "120", "60", "45", ""), "open shape")
    hands.tap("field height", *typed("75"), "take", "next", *typed("150"))
    body = f"run:\n{FIRST}  - {{offset: {{leg: 120, height: 75, angle: 45}}}}\n{LAST}"
    assert job_in(hands).run == from_file(body).run


def test_from_the_ways_one_comes_back_to_every_field() -> None:
    hands = planning(*LEG_AND_BEND, *shape("ports", *PORTS))
    for field in range(12, 0, -1):
        assert hands.work.shaping.field == field
        hands.tap("earlier")
    assert hands.scene.target("earlier") is None and "from X" in hands.text


def test_a_shape_can_be_tried_behind_a_row_that_is_not_whole() -> None:
    hands = planning(*RUN, "earlier", *["back"] * 2, "later", *shape("parallel", "30"))
    assert hands.shown == "shape"


def test_what_is_typed_reads_as_the_language_writes_numbers() -> None:
    hands = planning(*LEG_AND_BEND, *shape("offset", "120.5", "60"))
    german = replace(hands.model, settings=Settings(language="de"), face="answer")
    text = Hands(german).text
    assert "120,5 mm" in text and "120.5" not in text


def test_left_it_is_as_it_was() -> None:
    hands = planning(*LEG_AND_BEND, *shape("offset", "120", "60", "45", ""))
    before = hands.model.draft
    hands.tap("open shape", "field height", *typed("75"), "leave")
    assert hands.model.draft == before and hands.shown == "plan"


def nearly(run: Run) -> object:
    """A run to a millionth of a millimetre and of a degree, more than is typed of either."""
    rows = [number for s in run.segments for number in (s.leg_mm, s.angle_deg, s.turn_deg)]
    return pytest.approx([*rows, run.last_leg_mm], abs=2e-6)


def numbers(run: Run) -> list[float]:
    return [n for s in run.segments for n in (s.leg_mm, s.angle_deg, s.turn_deg)] + [
        run.last_leg_mm
    ]


@pytest.mark.parametrize("kind", WHOLE)
def test_loosened_the_run_stays_the_same(kind: str) -> None:
    hands = planning(*WHOLE[kind][0])
    before = job_in(hands)
    if kind == "parallel":
        hands.tap("shape", "choose parallel")
    else:
        while not hands.can("open shape"):
            hands.tap("earlier")
        hands.tap("open shape")
    assert hands.tap("loosen").shown == "shape", "one press asks"
    hands.tap("yes loosen")
    after = job_in(hands)
    assert drawing_of(after) is None and numbers(after.run) == nearly(before.run)


def test_loosened_between_others_the_turns_behind_stay_the_same() -> None:
    hands = planning(*LEG_AND_BEND)
    for kind in ("rolling_offset", "offset"):
        hands.tap(*shape(kind, *SHAPES[kind]), "next")
    hands.tap(*typed("90", "next"), *typed("30", "next"), *typed("15", "next"), *typed("120"))
    before = nearly(job_in(hands).run)
    for row in (1, 3):
        while hands.work.cursor.row != row:
            hands.tap("earlier" if hands.work.cursor.row > row else "later")
        hands.tap("open shape", "loosen", "yes loosen")
        assert numbers(job_in(hands).run) == before


def test_arrows_go_through_each_bend_of_a_shape() -> None:
    hands = planning(*LEG_AND_BEND, *shape("saddle", *SHAPES["saddle"]))
    hands.tap("look")
    seen = [hands.text.split("bend ")[1][0]]
    for _ in range(2):
        hands.tap("later")
        seen.append(hands.text.split("bend ")[1][0])
    assert seen == ["2", "3", "4"]
    assert hands.tap("later").work.cursor.row == 2
    hands.tap("earlier", "earlier")
    assert (hands.work.cursor.row, hands.work.cursor.bend) == (1, 1)


@pytest.mark.parametrize(
    ("taps", "says"),
    [
        ((*shape("offset", "120", "60"), "take"), "angle: type it first"),
        ((*shape("offset", "120", "60"), *typed("95", "next")), "angle is 95°"),
        (shape("rolling_offset", "120", "", "", "45", ""), "rise and roll are both 0"),
        ((*shape("port", "300", "1", "1", "", "", ""), "take"), "the direction is 0"),
        ((*shape("ports", *PORTS), "take"), "takes the place of the whole run"),
        (shape("u", "160", "60"), "U"),
    ],
)
def test_what_cannot_be_is_said_and_stays_typed(taps: tuple[str, ...], says: str) -> None:
    hands = planning(*LEG_AND_BEND, *taps)
    assert says in hands.text and hands.shown == "shape"
    assert hands.work.shaping.shape is not None


def test_a_leg_that_nobody_typed_is_not_to_be_lengthened() -> None:
    """The leg inside an offset follows from its height and bend; the one before it was typed."""
    steep = planning(*LEG_AND_BEND, *shape("offset", "120", "9", "45"))
    assert "too close together: make it larger, or bend it less" in steep.text
    near = planning(*LEG_AND_BEND, *shape("offset", "20", "60", "45"))
    assert "The leg is" in near.text and "lengthen it" in near.text


def test_a_port_comes_after_a_bend() -> None:
    hands = planning(*shape("port", *PORT), "take")
    assert "A leg and a bend come before" in hands.text


def test_ports_are_the_whole_run() -> None:
    hands = planning(*shape("ports", *PORTS), "take", "insert")
    assert "from port to port, whole" in hands.text
    assert "from port to port, whole" in hands.tap("shape", "choose u").text
    assert hands.tap("leave", "remove").model.draft.rows == planning().model.draft.rows


def test_a_u_in_the_run_keeps_the_tube_from_beside_it() -> None:
    hands = planning(*LEG_AND_BEND, *typed("160", "next"), *typed("180", "next"), "next")
    hands.tap(*typed("150"), *shape("parallel", "30", ""))
    assert "Bend 2 is a U" in hands.text and hands.shown == "shape"


def test_what_the_bench_learns_changes_a_shape_but_not_a_piece_that_is_cut() -> None:
    taps = (*shape("saddle", *SHAPES["saddle"]), "next", *typed("250"))
    hands = planning(*taps)
    fresh = job_in(hands)
    hands.tap("make")
    while hands.shown != "check":
        hands.tap("next")
    assert hands.work.making is not None and hands.work.making.springback is not None
    hands.type("24", "next")
    if hands.scene.target("take anyway"):
        hands.tap("take anyway")
    assert job_in(hands).run == fresh.run, "it is cut and marked as it was drawn"
    taught = Hands().tap(*BENCH)
    about = subject_of(hands.model.draft)
    assert about is not None
    taught.model = replace(taught.model, taught=learnt_from(taught))
    taught.tap(*taps)
    job = job_in(taught)
    known = springback_of(taught.model.taught, about.key, about.theory)
    assert known.source == "measured" and job.run != fresh.run
    assert job.run.segments == Saddle(260, 45, 60).segments(radius_of(job.bender, known))


def learnt_from(hands: Hands) -> Taught:
    about, taught = subject_of(hands.model.draft), hands.model.taught
    assert about is not None
    for loaded in (31.0, 62.0, 92.5):
        taught = teach(taught, about.key, about.theory, Bent(loaded, loaded * 0.95, True))
    return taught


def test_an_empty_draft_has_no_shape() -> None:
    assert Draft().rows[0].shape is None


def test_ways_behind_bends_that_overlap_are_shown_without_their_room() -> None:
    short = (
        *typed("120", "next"),
        "quick 90",
        "next",
        *typed("5", "next"),
        "quick 90",
        "next",
        "next",
    )
    hands = Hands().tap(*BENCH, *short, *shape("port", *PORT))
    assert hands.scene.target("choose 1") is not None
    assert "room" not in hands.text and "overlap" in hands.text


def test_a_leg_typed_before_a_shape_leads_up_to_it() -> None:
    hands = Hands().tap(*BENCH, *typed("100"), "shape", "choose offset")
    assert hands.work.shaping.shape is not None
    assert hands.work.shaping.shape.texts[0] == "100" and hands.work.shaping.field == 1
    hands.tap(*typed("40", "next"), *typed("45", "next"), "next")
    rows = hands.work.draft.rows
    assert len(rows) == 2 and rows[0].shape is not None and rows[1] == Row()
    hands.tap("undo")
    assert hands.work.draft.rows == (Row("100"),)


def test_a_shape_that_was_left_is_there_again() -> None:
    hands = Hands().tap(*BENCH, *LEG_AND_BEND, "shape", "choose offset")
    hands.tap(*typed("120", "next"), *typed("6"), "earlier", "leave")
    assert hands.shown == "plan"
    hands.tap("shape", "choose u")
    assert hands.work.shaping.shape is not None and not any(hands.work.shaping.shape.texts)
    hands.tap("leave", "shape", "choose offset")
    assert hands.work.shaping.shape.texts[:2] == ("120", "6")
    hands.tap("next", *typed("60", "next"), *typed("45", "next"), "next", "later", "shape")
    emptied = hands.tap("choose offset").work.shaping.shape
    assert emptied is not None and emptied.texts == ("",) * 4
