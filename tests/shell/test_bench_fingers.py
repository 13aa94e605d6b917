"""What the benchmarks tap goes on to fit the panel, so that they measure what there is."""

from itertools import islice
from pathlib import Path

import pytest

from benchcalc.runlog.store import Store
from benchcalc.shell.loop import Loop
from tests.bench.finger import day, down, presses, rounds, up
from tests.bench.taps import SIZES, planning
from tests.crash.session import NoWindow


@pytest.mark.parametrize("size", SIZES)
def test_a_round_comes_back_to_where_it_began(size: tuple[int, int], tmp_path: Path) -> None:
    with Store.open(tmp_path, "test") as store:
        loop = Loop(NoWindow(), store, planning(size))
        before = loop.model.draft
        for names in (rounds(), day(loop)):
            bends = len(loop.model.draft.rows)
            for place in islice(presses(loop, names), 180):
                down(loop, place)
                up(loop, place)
                assert not loop.model.trouble
            assert abs(len(loop.model.draft.rows) - bends) <= 1
        while loop.model.work.undo:
            place = next(presses(loop, ["undo"]))
            down(loop, place)
            up(loop, place)
        assert loop.model.draft == before
