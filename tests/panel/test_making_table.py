"""The diagram in DEVELOPERS.md is the table of the steps of making a piece."""

import pytest

from benchcalc.panel.state.making.table import ASIDE, TABLE, after, mermaid
from tests.house.sources import ROOT

BEGIN, END = "<!-- making diagram: begin -->", "<!-- making diagram: end -->"


def test_the_diagram_of_the_document_is_the_table() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    shown = text.partition(BEGIN)[2].partition(END)[0]
    assert shown.strip() == f"```mermaid\n{mermaid()}```"


def test_every_step_can_be_reached_and_left() -> None:
    reached, waiting = {"cut"}, ["cut"]
    while waiting:
        row = TABLE[waiting.pop()]  # type: ignore[index]
        new = set(row.values()) - reached
        reached |= new
        waiting += new
    assert reached == set(TABLE)
    assert set(ASIDE) | set(TABLE) == {"scrap", "largest", "smallest", *TABLE}


def test_what_cannot_happen_is_a_fault() -> None:
    with pytest.raises(ValueError, match="seated cannot happen at the step cut"):
        after("cut", "seated")
