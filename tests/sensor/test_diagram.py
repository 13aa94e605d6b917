"""The diagram in DEVELOPERS.md is the transition table's."""

import re

from benchcalc.sensor.diagram import mermaid
from benchcalc.sensor.settling import TABLE
from tests.house.sources import ROOT

BEGIN, END = "<!-- settle diagram: begin -->", "<!-- settle diagram: end -->"


def test_the_diagram_of_the_document_is_the_table() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    assert text.count(BEGIN) == text.count(END)
    if BEGIN in text:
        shown = text.partition(BEGIN)[2].partition(END)[0]
        assert shown.strip() == f"```mermaid\n{mermaid()}```"


def test_the_diagram_has_every_way_from_state_to_state() -> None:
    drawn = re.findall(r"^    (\w+) --> (\w+): (.+)$", mermaid(), re.MULTILINE)
    ways = {
        (state, after, seen) for state, after, all_seen in drawn for seen in all_seen.split(", ")
    }
    table = {(state, after, seen) for state, row in TABLE.items() for seen, after in row.items()}
    assert ways == {way for way in table if way[0] != way[1]}
