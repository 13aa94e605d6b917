"""Three jobs in a real window, each by mouse, by numeric keypad and by knob alone."""

import json
import sqlite3
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

import pytest

from benchcalc.panel.state.model import Making, Model, SensorSeen, Work, work_of
from benchcalc.runlog.store import PANEL_SLOT
from tests.panel.driver import Hands
from tests.panel.journeys import SHOP, shape, typed
from tests.shell import quick_bench
from tests.shell.devices import Device, Worker, by_keypad, by_knob, by_mouse
from tests.shell.starts import Start
from tests.shell.window import AGAIN_S, Display, Program

BENCH = (
    "set bender", "more", "choose bench-10mm", "set material", "choose 316",
    "set wall", *typed("1", "next"), "plan",
)  # fmt: skip
OFFSET = (
    *BENCH, *typed("120", "next"), "quick 90", "next",
    *shape("offset", "110", "60", "45", "90"), "next", *typed("160", "next"), "make",
)  # fmt: skip
U_RUN = (
    *BENCH, *typed("90", "next"), "quick 45", "next", *shape("u", "160", "120", ""), "next",
    *typed("140", "next"), "make",
)  # fmt: skip
TWO_BENDS = (
    *BENCH, *typed("120", "next"), "quick 90", "next",
    *typed("85", "next"), "quick 45", "next", "quick 90", *typed("160", "next"), "make",
)  # fmt: skip
BENDS_OF = {"offset": (OFFSET, 3), "u": (U_RUN, 3)}
DEVICES = pytest.mark.parametrize("device", [by_mouse, by_keypad, by_knob])
PATIENCE_S = 120.0
"""So long a busy machine may take for a step; what is waited for is the step."""
MOST_TAPS_A_BEND = 4
"""Marked, turned, seated, and left once it is good: until then the sensor follows it."""


@contextmanager
def running(display: Display, state: Path, start: Start) -> Iterator[Program]:
    """The program, whose power goes in the end, whatever came of it."""
    program = Program(display, state, start)
    try:
        yield program
    finally:
        program.kill()


@DEVICES
@pytest.mark.parametrize("job", BENDS_OF)
def test_a_run_from_an_empty_panel_to_the_cut(
    job: str, device: Device, display: Display, quick: Start, tmp_path: Path
) -> None:
    names, bends = BENDS_OF[job]
    with running(display, tmp_path, quick) as program:
        worker = Worker(program, Hands(), device)
        program.wait_for(worker.hands.scene)
        worker.work_through(names)
    print(f"{job} run by {device.__name__[3:]}: {len(names)} keys, {worker.count} acts")
    assert worker.hands.shown == "cut" and f"bends: {bends}" in worker.hands.text
    assert kept(tmp_path) == worker.hands.work


def kept(state: Path) -> Work:
    """The work as it is on the disk now, whether the program runs or not."""
    db = sqlite3.connect(f"file:{state / 'records.db'}?mode=ro", uri=True)
    try:
        (text,) = db.execute("SELECT body FROM work WHERE slot = ?", (PANEL_SLOT,)).fetchone()
    finally:
        db.close()
    return work_of(json.loads(text))


class AtTheBender:
    """A piece made with the sensor; the window shows live angles, so the disk tells the step."""

    def __init__(self, worker: Worker, state: Path) -> None:
        self.worker, self.state = worker, state
        self.taps: Counter[int] = Counter()
        self.known = kept(state)
        model = worker.hands.model
        worker.hands.model = replace(model, sensor=SensorSeen(0.0, False, True))

    @property
    def making(self) -> Making:
        making = self.worker.hands.work.making
        assert making is not None
        return making

    def make(self) -> None:
        """Step by step to the end; while the bend is pulled there is nothing to press."""
        while self.worker.hands.work.screen == "make":
            if self.making.step != "pull":
                on = {"over": "keep", "correct": "answer take"}.get(self.making.step, "next")
                if self.making.step not in ("cut", "slide", "store"):
                    self.taps[self.making.place] += 1
                self.worker.press(on)
            self.follow()

    def follow(self) -> None:
        """Until the disk holds another step than the one that was known."""
        hands, known = self.worker.hands, self.known
        until = time.monotonic() + PATIENCE_S
        while (work := kept(self.state)) == known:
            assert time.monotonic() < until, hands.text
            time.sleep(0.02)
        self.known = work
        hands.model = replace(hands.model, work=work)
        time.sleep(AGAIN_S)  # a new key is dead for a while, and nobody reads it sooner


@DEVICES
def test_a_piece_of_two_bends_with_the_sensor(
    device: Device, display: Display, tmp_path: Path
) -> None:
    start = Hands(Model(SHOP, sensor=SensorSeen(0.0, False, True)))
    with running(display, tmp_path, quick_bench.start) as program:
        worker = Worker(program, start, device)
        program.wait_for(start.scene)
        worker.work_through(TWO_BENDS[:-1])
        bender = AtTheBender(worker, tmp_path)
        worker.press("make")
        bender.follow()
        bender.make()
    shown = ", ".join(f"bend {place + 1}: {count}" for place, count in sorted(bender.taps.items()))
    print(f"two bends by {device.__name__[3:]}, keys pressed with the sensor: {shown}")
    assert len(bender.taps) == 2 and max(bender.taps.values()) <= MOST_TAPS_A_BEND
    db = sqlite3.connect(tmp_path / "records.db")
    (body,) = db.execute("SELECT body FROM records WHERE kind = 'piece'").fetchone()
    db.close()
    piece = json.loads(body)
    assert piece["outcome"] == "made"
