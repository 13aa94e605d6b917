"""The panel with its sensor for minutes: its line pulled 200 times, and at 100 times the rate.

The panel is the same without a sensor and with one: on the step of pulling, a finger taps on at any
moment. The frame that answers is waited for from the touch, the loop's rest and the sensor's work
included.
"""

import os
from collections.abc import Iterator
from contextlib import ExitStack, closing
from pathlib import Path
from tempfile import TemporaryDirectory
from unittest.mock import patch

from benchcalc.runlog.store import Store
from benchcalc.shell.display.screen import Screen
from benchcalc.shell.port import FIRST_WAIT_S
from tests.bench.processes import own_display
from tests.bench.table import Figure, middle, ms, worst_of_100
from tests.bench.taps import SIZE, planning
from tests.panel.driver import Hands
from tests.shell.soak import FLOOD_HZ, USUAL_HZ, Instrument, Soak
from tests.shell.terminals import held

TIMES = 200
TAPPED_S = 40.0
OLDEST_S, FRAME_S = 0.15, 0.012


def figures() -> list[Figure]:
    """Frames without a sensor and with one at two rates; then what 200 times unplugged leaves."""
    made = []
    for rate_hz in (None, USUAL_HZ, FLOOD_HZ):
        with _Bench(rate_hz) as bench:
            bench.soak.run(bench.tapped())
        taken_s = bench.soak.finger.taken_s
        name = f"sensor at {rate_hz} Hz" if rate_hz else "no sensor"
        worst_s = worst_of_100(taken_s)
        made += [
            Figure(f"touch to frame, {name}, median", ms(middle(taken_s)), ""),
            Figure(
                f"touch to frame, {name}, 99 of 100",
                ms(worst_s),
                "",
                ms(FRAME_S),
                worst_s <= FRAME_S,
            ),
        ]
        made += [_behind(bench.soak, rate_hz)] if rate_hz else []
    return [*made, *_pulled()]


def _behind(soak: Soak, rate_hz: int) -> Figure:
    oldest_s = max(soak.behind_s[rate_hz])
    what = f"longest that the panel lay behind the line, {rate_hz} Hz"
    return Figure(what, ms(oldest_s), "", ms(OLDEST_S), oldest_s <= OLDEST_S)


def _pulled() -> list[Figure]:
    with _Bench(USUAL_HZ) as bench:
        bench.soak.run(bench.pulled())
    left, more = bench.left, len(set(bench.working))
    oldest_s = max(max(of) for of in bench.soak.behind_s.values())
    return [
        Figure(
            f"descriptors and threads left after {TIMES} plugs",
            str(left),
            "(0, 0)",
            "(0, 0)",
            left == (0, 0),
        ),
        Figure("different counts of them while plugged in", str(more), "1", "1", more == 1),
        Figure(
            "longest that the panel lay behind the line",
            ms(oldest_s),
            "",
            ms(OLDEST_S),
            oldest_s <= OLDEST_S,
        ),
    ]


class _Bench:
    """A real window on a display in memory, a store, and a line when there is to be a sensor."""

    def __init__(self, rate_hz: int | None) -> None:
        self.rate_hz = rate_hz
        self.working: list[tuple[int, int]] = []
        self.left = (0, 0)

    def __enter__(self) -> "_Bench":
        with ExitStack() as stack:
            display = stack.enter_context(own_display())
            folder = Path(stack.enter_context(TemporaryDirectory()))
            stack.enter_context(patch.dict(os.environ, {"DISPLAY": display}))
            for name in ("SDL_VIDEODRIVER", "WAYLAND_DISPLAY"):
                os.environ.pop(name, None)
            screen = stack.enter_context(closing(Screen.open(SIZE, False, "bench")))
            store = stack.enter_context(Store.open(folder, "bench"))
            self._before = held()
            self.line = None
            if self.rate_hz is not None:
                self.line = stack.enter_context(Instrument(folder / "sensor"))
                self.line.rate_hz = self.rate_hz
            model = Hands(planning()).tap("make").model
            self.soak = Soak(screen, store, model, self.line, FIRST_WAIT_S)
            self._stack = stack.pop_all()
        return self

    def __exit__(self, *_: object) -> None:
        self.soak.close()
        if self.line is not None:
            self.line.__exit__()
        fds, threads = held()
        self.left = (fds - self._before[0], threads - self._before[1])
        self._stack.close()

    def tapped(self) -> Iterator[None]:
        """A finger taps on while the line speaks."""
        if self.line is not None:
            self.line.plug_in()
            yield from self.soak.shows_live()
        self.soak.finger.taps = True
        yield from self.soak.for_(TAPPED_S)

    def pulled(self) -> Iterator[None]:
        """Out and in again, fouled each time, each second time at a hundred times the rate."""
        assert self.line is not None
        for number in range(TIMES):
            self.line.rate_hz = FLOOD_HZ if number % 2 else USUAL_HZ
            self.line.plug_in()
            yield from self.soak.shows_live()
            yield from self.soak.for_(0.3)
            self.working.append(held())
            self.line.unplug()
            yield from self.soak.shows_none()
