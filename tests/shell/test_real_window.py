"""The whole job in a real window by a real mouse, with the power going at every step.

A panel without a window (``Hands``) goes along tap by tap; the screen must show exactly what it
shows, and after each cut the store must hold exactly what it saved.
"""

import json
import os
import signal
import subprocess
import sys
import time
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from benchcalc.panel.state.model import Model
from benchcalc.panel.update import view
from benchcalc.report.told import told
from benchcalc.runlog.store import PANEL_SLOT, Store
from tests.panel.driver import Hands
from tests.panel.faces import name_at, toward
from tests.panel.journeys import JOB, SHOP, SHORT_JOB
from tests.shell.starts import Start, newly
from tests.shell.window import Display, Program

PLANNED = SHORT_JOB.index("make")
CUT_WHILE_PLANNING = (2, 6, PLANNED - 9, PLANNED - 1)
CUT_WITH_A_FINGER_DOWN = (7, PLANNED, PLANNED + 4, len(SHORT_JOB) - 2, len(SHORT_JOB) - 1)


class Bench:
    """The program in its window, and the panel that goes along."""

    def __init__(
        self,
        display: Display,
        state: Path,
        model: Model | None = None,
        start: Start = newly,
    ) -> None:
        self.display, self.state, self.by = display, state, start
        self.hands = Hands(model)
        self.start()

    def start(self) -> None:
        self.program = Program(self.display, self.state, self.by)
        self.program.wait_for(self.hands.scene)

    def press(self, name: str) -> None:
        target = self.hands.scene.target(name)
        assert target is not None, f"no {name!r} on:\n{self.hands.text}"
        x, y = (int(v) for v in target.box.centre)
        assert name_at(self.hands.scene, x, y) == name
        self.hands.down(name)
        self.program.down(x, y)
        self.program.wait_for(self.hands.scene)

    def tap(self, name: str) -> None:
        while (way := toward(self.hands.scene, name)) is not None:
            self.tap(way)
        self.press(name)
        self.hands.up(name)
        self.program.up()
        self.program.wait_for(self.hands.scene)

    def cut(self) -> None:
        """The power goes: the store must hold what was saved, and the panel goes on from it."""
        self.program.kill()
        saved = self.hands.saved[-1] if self.hands.saved else None
        assert kept(self.state) == (saved, self.hands.records)
        self.hands = self.hands.restart()
        self.start()


def kept(state: Path) -> tuple[Any, list[Any]]:
    with Store.open(state, "test") as store:
        return store.load_work(PANEL_SLOT), [entry.body for entry in store.records()]


def stored_runs(state: Path, *words: str) -> str:
    environment = {**os.environ, "BENCHCALC_STATE": str(state)}
    command = [sys.executable, "-m", "benchcalc", "runs", *words]
    return subprocess.run(
        command, env=environment, check=True, capture_output=True, text=True
    ).stdout


def test_the_whole_job_by_mouse_and_it_is_in_the_list_of_runs(
    display: Display, tmp_path: Path
) -> None:
    bench = Bench(display, tmp_path)
    for name in JOB:
        bench.tap(name)
    bench.program.process.send_signal(signal.SIGTERM)
    assert bench.program.end() == 0
    (line,) = stored_runs(tmp_path).splitlines()
    for part in ("unnamed run", "piece 1 of 1", "made", "316 10 x 1 mm", "H4-7", "90° −0.2"):
        assert part in line
    (entry,) = (json.loads(line) for line in stored_runs(tmp_path, "--json").splitlines())
    assert entry["body"] == json.loads(json.dumps(bench.hands.records[0]))


def test_the_power_goes_at_every_step_and_the_job_is_stored_once(
    display: Display, quick: Start, tmp_path: Path
) -> None:
    bench = Bench(display, tmp_path, start=quick)
    for number, name in enumerate(SHORT_JOB):
        if number in CUT_WITH_A_FINGER_DOWN:
            bench.press(name)
            bench.cut()
            bench.program.up()
            bench.program.wait_for(bench.hands.scene)
        bench.tap(name)
        if number >= PLANNED or number in CUT_WHILE_PLANNING:
            bench.cut()
    assert bench.hands.work.screen == "kept"
    bench.program.kill()
    work, records = kept(tmp_path)
    assert len(records) == 1 and records == bench.hands.records
    assert work["work"]["screen"] == "kept"


def test_the_power_goes_while_the_piece_is_being_stored(
    display: Display, quick: Start, tmp_path: Path
) -> None:
    """Whatever the moment, the record and the work that follows it are there both or neither."""
    hands = Hands().tap(*JOB[:-1])
    for number, delay_s in enumerate((0.0, 0.002, 0.005, 0.01, 0.02)):
        state = tmp_path / f"again-{number}"
        with Store.open(state, "test") as store:
            store.save_work(PANEL_SLOT, hands.saved[-1])
        bench = Bench(display, state, replace(Model(SHOP), work=hands.work), quick)
        bench.press("next")
        bench.program.up()
        time.sleep(delay_s)
        bench.program.kill()
        work, records = kept(state)
        stored = work["work"]["screen"] == "kept"
        assert len(records) == stored and (stored or work == hands.saved[-1])


def test_sigterm_closes_cleanly(display: Display, tmp_path: Path) -> None:
    bench = Bench(display, tmp_path)
    bench.tap("set wall")
    bench.program.process.send_signal(signal.SIGTERM)
    assert bench.program.end() == 0
    assert not (tmp_path / "records.db-wal").exists(), "the store was not closed"


def test_control_q_closes_cleanly(display: Display, tmp_path: Path) -> None:
    bench = Bench(display, tmp_path)
    display.hand("mousemove", "400", "3", "key", "ctrl+q")
    assert bench.program.end() == 0
    assert not (tmp_path / "records.db-wal").exists(), "the store was not closed"


def test_the_keyboard_types_in_the_window(display: Display, tmp_path: Path) -> None:
    bench = Bench(display, tmp_path)
    display.hand("mousemove", "400", "3", "key", "4", "key", "KP_1", "key", "period", "key", "5")
    bench.hands.key("4", "1", ".", "5")
    bench.program.wait_for(bench.hands.scene)
    bench.program.kill()
    assert kept(tmp_path)[0]["work"]["writing"]["typed"] == "1.5"


def test_a_damaged_record_file_is_set_aside_and_the_screen_says_so(
    display: Display, tmp_path: Path
) -> None:
    (tmp_path / "records.db").write_bytes(b"no database at all" * 400)
    notice = told("notice.set-aside", name="records.damaged-1.db", carried="0", lost="?")
    program = Program(display, tmp_path)
    program.wait_for(view(replace(Model(SHOP), notices=(notice,), trouble=(notice,))))
    program.kill()
    assert (tmp_path / "records.damaged-1.db").exists()


def test_a_screen_that_is_not_as_expected_would_be_noticed(
    display: Display, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    bench = Bench(display, tmp_path)
    monkeypatch.setattr("tests.shell.window.PATIENCE_S", 0.05)
    with pytest.raises(AssertionError, match="pixels are not as they should be"):
        bench.program.wait_for(Hands().tap("set wall").scene)
    bench.program.kill()
