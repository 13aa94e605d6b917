"""What a job file takes the panel takes too; a value is opened as it would have been typed."""

from dataclasses import replace

import pytest

from benchcalc.core.job import Units
from benchcalc.core.lengths import MOST_MM
from benchcalc.files.loading import load_shop
from benchcalc.jobfile.job import parse_job
from benchcalc.jobfile.problems import BadJob
from benchcalc.panel.state.draft import draft_of, read_draft
from benchcalc.panel.state.model import Draft, Model, Work
from benchcalc.report.settings import Settings
from benchcalc.words.phrases import Language
from tests.panel.driver import Hands

SHOP = load_shop(None)
HEAD = "benchcalc: 1\nname: rack\ntube: {od: 10, wall: 1.24, material: 304}\nbender: bench-10mm\n"


def opened(leg: str) -> Draft:
    body = f"run:\n  - {{leg: {leg}, bend: 20}}\n  - {{leg: 100}}\n"
    return draft_of(parse_job((HEAD + body).encode(), "job.yaml", SHOP))


@pytest.mark.parametrize("leg", ["150000", str(MOST_MM)])
def test_a_leg_of_a_file_is_a_leg_of_the_panel(leg: str) -> None:
    read = read_draft(opened(leg))
    assert read.whole and read.wrong == () and read.sheet is not None
    assert read.sheet.job.run.segments[0].leg_mm == float(leg)


@pytest.mark.parametrize("language", ["en", "de"])
@pytest.mark.parametrize(("units", "typed"), [("mm", "1.24"), ("in", "1.24 mm")])
def test_a_size_is_opened_as_it_was_typed(language: Language, units: Units, typed: str) -> None:
    """Exact, with a point in every language: 1.24 mm has no end in inches."""
    draft = replace(opened("120"), units=units)
    settings = Settings(language=language)
    hands = Hands(Model(SHOP, work=Work("bench", draft), settings=settings))
    assert hands.tap("set wall").model.work.writing.typed == typed


@pytest.mark.parametrize(
    ("leg", "bend", "turn", "taken"),
    [
        ("0.1", "180", "360", True),
        ("0", "90", "0", False),
        ("1000000.1", "90", "0", False),
        ("120", "0", "0", False),
        ("120", "180.1", "0", False),
        ("120", "90", "-360", True),
        ("120", "90", "-360.1", False),
    ],
)
def test_the_file_and_the_panel_have_the_same_limits(
    leg: str, bend: str, turn: str, taken: bool
) -> None:
    text = f"{HEAD}run: [{{leg: {leg}, bend: {bend}, turn: {turn}}}, {{leg: 100}}]\n"
    draft = opened("120")
    row = replace(draft.rows[0], leg=leg, bend=bend, turn=turn)
    read = read_draft(replace(draft, rows=(row, *draft.rows[1:])))
    assert (read.wrong == ()) == taken
    if taken:
        assert parse_job(text.encode(), "job.yaml", SHOP)
    else:
        with pytest.raises(BadJob):
            parse_job(text.encode(), "job.yaml", SHOP)
