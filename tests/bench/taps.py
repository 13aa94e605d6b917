"""From a finger on the panel to the frame that answers it, the disk's sync included."""

import os
import time
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from itertools import islice
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, NamedTuple
from unittest.mock import patch

import pygame

from benchcalc.app import opened
from benchcalc.files.loading import asset_path, load_job, load_shop
from benchcalc.panel.state.model import Model, work_plain
from benchcalc.panel.update import update, view
from benchcalc.runlog.store import PANEL_SLOT, Store
from benchcalc.shell import loop as loop_module
from benchcalc.shell.display.screen import Screen
from benchcalc.shell.loop import Loop
from tests.bench.finger import down, presses, rounds, up
from tests.bench.processes import own_display
from tests.bench.table import Figure, middle, ms, worst_of_100

SIZE = (800, 480)
SIZES = (SIZE, (1280, 800))
TAPS = 1000
MEDIAN_GOAL_S, WORST_GOAL_S = 0.006, 0.012


class Spent(NamedTuple):
    """Seconds of each tap: going down until the key is lit, coming up until it is answered."""

    down_s: list[float]
    up_s: list[float]
    parts_s: dict[str, float]


def figures() -> list[Figure]:
    """Taps through the real loop, window and store, and the bare commit and flip below them."""
    return [figure for size in SIZES for figure in _figures(size)]


def _figures(size: tuple[int, int]) -> list[Figure]:
    with own_display() as display, TemporaryDirectory() as folder, _shown_on(display):
        screen = Screen.open(size, False, "bench")
        with closing(screen), Store.open(Path(folder), "bench") as store:
            floor_s = _bare(store)
            spent = _tapped(Loop(screen, store, planning(size)))
    floor = f"{ms(floor_s)} bare commit and flip"
    parts = ", ".join(f"{name} {part / sum(spent.up_s):.0%}" for name, part in _shares(spent))
    on = "{} x {}".format(*size)
    return [
        _figure(f"tap to drawn frame, {on}, median", middle(spent.up_s), floor, MEDIAN_GOAL_S),
        _figure(f"tap to drawn frame, {on}, 99 of 100", worst_of_100(spent.up_s), "", WORST_GOAL_S),
        Figure("  of it", parts, ""),
        _figure("finger down to lit key, median", middle(spent.down_s), "", MEDIAN_GOAL_S),
        _figure("finger down to lit key, 99 of 100", worst_of_100(spent.down_s), "", WORST_GOAL_S),
    ]


def _figure(what: str, taken_s: float, floor: str, goal_s: float) -> Figure:
    return Figure(what, ms(taken_s), floor, ms(goal_s), taken_s <= goal_s)


@contextmanager
def _shown_on(display: str) -> Iterator[None]:
    with patch.dict(os.environ, {"DISPLAY": display}):
        os.environ.pop("SDL_VIDEODRIVER", None)
        os.environ.pop("WAYLAND_DISPLAY", None)
        yield


def planning(size: tuple[int, int] = SIZE) -> Model:
    shop = load_shop(None)
    return opened(Model(shop, size), load_job(asset_path("demo.yaml"), shop))


def _bare(store: Store) -> float:
    """What a tap costs when nothing is worked out or drawn: the work kept, the frame shown."""
    work, times = work_plain(planning().work), []
    for _ in range(200):
        start = time.perf_counter()
        store.save_work(PANEL_SLOT, work)
        pygame.display.flip()
        times.append(time.perf_counter() - start)
    return middle(times)


def _tapped(loop: Loop) -> Spent:
    spent = Spent([], [], {})
    for place in islice(presses(loop, rounds()), TAPS):
        spent.down_s.append(_taken(lambda: down(loop, place)))  # noqa: B023
        with _timed(loop, spent.parts_s):
            spent.up_s.append(_taken(lambda: up(loop, place)))  # noqa: B023
    return spent


def _taken(act: Callable[[], object]) -> float:
    start = time.perf_counter()
    act()
    return time.perf_counter() - start


@contextmanager
def _timed(loop: Loop, parts_s: dict[str, float]) -> Iterator[None]:
    """The four parts of a tap, each adding what it takes."""

    def timing(name: str, act: Callable[..., Any]) -> Callable[..., Any]:
        def timed(*given: Any) -> Any:
            start = time.perf_counter()
            try:
                return act(*given)
            finally:
                parts_s[name] = parts_s.get(name, 0.0) + time.perf_counter() - start

        return timed

    with (
        patch.object(loop_module, "update", timing("update", update)),
        patch.object(loop.store, "save_work", timing("store", loop.store.save_work)),
        patch.object(loop_module, "view", timing("view", view)),
        patch.object(loop.window, "paint", timing("paint", loop.window.paint)),
    ):
        yield


def _shares(spent: Spent) -> list[tuple[str, float]]:
    rest = sum(spent.up_s) - sum(spent.parts_s.values())
    return [*spent.parts_s.items(), ("rest", rest)]
