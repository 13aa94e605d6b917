"""The log is looked through in the background, on demand too, and what happened to it is kept."""

import random
from collections.abc import Iterator
from pathlib import Path

import pytest

from benchcalc.app import restored
from benchcalc.panel.state.messages import LookThroughLog, NoticesRead
from benchcalc.panel.state.missing import LogLook
from benchcalc.panel.state.model import Model
from benchcalc.runlog.store import Store
from benchcalc.shell.looking import EVERY_S, IDLE_S, Looker
from benchcalc.shell.loop import Loop
from benchcalc.shell.memory import carry_out
from tests.crash.session import SIZE, NoWindow
from tests.panel.journeys import SHOP
from tests.runlog.bench_log import fill_fast, piece
from tests.runlog.test_store_damage import overwrite


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A log of 500 pieces with a flipped digit in one of them."""
    with Store.open(tmp_path, "b") as store:
        fill_fast(store, 500, piece(random.Random(1), 1))
    path = tmp_path / "records.db"
    at = path.read_bytes().index(b'"form":2', path.stat().st_size // 2)
    overwrite(at, b'"form":7')(path)
    return tmp_path


@pytest.fixture
def store(folder: Path) -> Iterator[Store]:
    with Store.open(folder, "b") as opened:
        yield opened


def looked(looker: Looker, at_s: float, idle_s: float) -> list[LogLook]:
    told = [looker.step(at_s, idle_s) for _ in range(60)]
    return [message for message in told if message is not None]


def test_once_a_day_when_nobody_is_there(store: Store) -> None:
    looker = Looker(store)
    assert looked(looker, 0.0, IDLE_S - 1) == []
    (found,) = looked(looker, 100.0, IDLE_S)
    assert found.whole == 499 and found.damaged and not found.lists
    assert looked(looker, 100.0 + EVERY_S - 1, IDLE_S) == []
    assert looked(looker, 100.0 + EVERY_S, IDLE_S) == [found]
    assert not looker.hurries


def test_on_demand_at_once_and_it_says_how_far(store: Store) -> None:
    looker = Looker(store)
    looker.ask()
    assert looker.hurries
    *on_the_way, last = looked(looker, 0.0, 0.0)
    shares = [message.share for message in on_the_way]
    assert len(shares) > 10 and shares == sorted(shares, key=lambda share: share or 0.0)
    assert last.share is None and last.whole == 499


def test_a_record_added_meanwhile_is_no_damage(store: Store) -> None:
    looker = Looker(store)
    looker.ask()
    for _ in range(10):
        looker.step(0.0, 0.0)
    store.append("piece", piece(random.Random(2)), "", False)
    *_, last = looked(looker, 0.0, 0.0)
    assert last.whole == 500 and not last.lists


def test_the_panel_goes_on_while_it_looks(store: Store) -> None:
    loop = Loop(NoWindow(), store, Model(SHOP, SIZE))
    loop._carry_out(LookThroughLog())
    rounds = 0
    while loop.looker.hurries:
        loop._mind_log(float(rounds))
        rounds += 1
    assert rounds > 20  # a few records at a time
    assert loop.model.log.whole == 499 and loop.model.wanting


def test_what_was_set_aside_is_said_at_every_start_until_it_is_pressed_away(tmp_path: Path) -> None:
    with Store.open(tmp_path, "b") as store:
        fill_fast(store, 20, piece(random.Random(1), 1))
    overwrite(0, b"\xa5" * 100)(tmp_path / "records.db")
    for start in range(3):
        with Store.open(tmp_path, "b") as store:
            model = restored(Model(SHOP, SIZE), store)
            notice, work = model.notices
            assert notice.phrase == "notice.set-aside-all" and "20" in notice.shown
            assert work.phrase == "notice.set-aside-work"
            assert model.trouble == (notice, work)
            if start == 2:
                assert carry_out(store, NoticesRead()) == ()
    with Store.open(tmp_path, "b") as store:
        model = restored(Model(SHOP, SIZE), store)
        assert (model.notices, model.trouble, model.log) == ((), (), LogLook())
