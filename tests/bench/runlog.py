"""The run log with a million bends in it: start, a new record, a copy, and checking the copy."""

import csv
import json
import random
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from benchcalc.runlog.chain import Stored
from benchcalc.runlog.copies.csv_text import (
    BEND_COLUMNS,
    RUN_COLUMNS,
    CsvFile,
    Row,
    bend_rows,
    run_row,
)
from benchcalc.runlog.copies.verify import verify
from benchcalc.runlog.records import PIECE, upgraded
from benchcalc.runlog.store import Store
from benchcalc.shell.taught import keep_taught, load_taught
from tests.bench.processes import plain_environment
from tests.bench.table import Figure, middle, ms
from tests.house.sources import ROOT
from tests.runlog.bench_log import WHEN, piece, put_fast

BENDS, BENDS_A_PIECE, FEW_PIECES = 1_000_000, 4, 25
PIECES = BENDS // BENDS_A_PIECE
DIFFERENT = 1000
ROUNDS = 60
RATIO_GOAL, CSV_GOAL, ALL_GOAL = 1.1, 2.0, 5.0
READ_ROUNDS, READ_GOAL_S = 7, 0.3


def figures() -> list[Figure]:
    """All of it; takes some minutes and two gigabytes of disk."""
    with TemporaryDirectory(prefix="benchcalc-bench-") as place:
        few, many = Path(place) / "few", Path(place) / "many"
        filled(few, FEW_PIECES)
        filled(many, PIECES)
        table = [*_scale(few, many), *_reads(few, many), *_csv(many, Path(place))]
        return [*table, *_whole(many, Path(place))]


def filled(folder: Path, pieces: int) -> None:
    """A store with so many pieces, a thousand different ones again and again.

    What they taught is kept beside them, as the panel keeps it after each piece.
    """
    dice = random.Random(1)
    some = [piece(dice, BENDS_A_PIECE) for _ in range(min(DIFFERENT, pieces))]
    with Store.open(folder, "bench") as store:
        months = (f"20{31 + n % 3}-{1 + n % 12:02}-04T09:30:00+00:00" for n in range(pieces))
        put_fast(store, ((when, some[n % len(some)]) for n, when in enumerate(months)))
        keep_taught(store, load_taught(store))


def _timed(act: Callable[[], object]) -> float:
    start = time.perf_counter()
    act()
    return time.perf_counter() - start


def _scale(few: Path, many: Path) -> list[Figure]:
    """Opening the store and a new record, few and many records by turns."""

    def start(folder: Path) -> None:
        with Store.open(folder, "bench") as store:
            store.load_work()
            store.head()

    starts: list[list[float]] = [[], []]
    for _ in range(ROUNDS):
        for folder, times in zip((few, many), starts, strict=True):
            times.append(_timed(lambda folder=folder: start(folder)))  # type: ignore[misc]
    body = piece(random.Random(2), BENDS_A_PIECE)
    appends: list[list[float]] = [[], []]
    with Store.open(few, "bench") as small, Store.open(many, "bench") as large:
        for _ in range(5 * ROUNDS):
            for store, times in zip((small, large), appends, strict=True):
                times.append(_timed(lambda s=store: s.append(PIECE, body, WHEN, False, {})))  # type: ignore[misc]
    return [_ratio("start of the store", *starts), _ratio("a new record", *appends)]


def _ratio(what: str, few: list[float], many: list[float]) -> Figure:
    ratio = middle(many) / middle(few)
    measured = f"{ms(middle(many))} with {BENDS:,} bends, ratio {ratio:.2f}"
    floor = f"{ms(middle(few))} with {FEW_PIECES * BENDS_A_PIECE}"
    return Figure(what, measured, floor, f"ratio {RATIO_GOAL}", ratio <= RATIO_GOAL)


def _reads(few: Path, many: Path) -> Iterator[Figure]:
    """Until the first line of ``runs`` is there, start of the program and all."""
    for words in (["runs"], ["runs", "--last", "5"]):
        times = [
            [_timed(lambda f=f, w=words: _first_line(f, w)) for _ in range(READ_ROUNDS)]  # type: ignore[misc]
            for f in (few, many)
        ]
        floor = f"{ms(middle(times[0]))} with {FEW_PIECES} pieces"
        took_s = middle(times[1])
        what = f"first line of {' '.join(words)}"
        yield Figure(what, ms(took_s), floor, f"{READ_GOAL_S:g} s", took_s <= READ_GOAL_S)


def _first_line(folder: Path, words: list[str]) -> None:
    command = [sys.executable, "-m", "benchcalc", *words]
    environment = plain_environment(BENCHCALC_STATE=str(folder))
    with subprocess.Popen(command, cwd=ROOT, env=environment, stdout=subprocess.PIPE) as reading:
        assert reading.stdout is not None and reading.stdout.readline()
        reading.stdout.close()
        reading.terminate()


def _csv(many: Path, place: Path) -> list[Figure]:
    """The same pieces as CSV by us, and their finished rows by the csv module alone."""
    with Store.open(many, "bench") as store:
        records = [r for r, _ in zip(store.stored(), range(DIFFERENT), strict=False)]
    pieces = [(record, upgraded(json.loads(record.body))) for record in records]
    alone_s = _timed(lambda: _csv_alone(pieces, place / "alone"))
    ours_s = _timed(lambda: _csv_ours(pieces, place / "ours"))
    measured = f"{ours_s:.1f} s, {ours_s / alone_s:.2f} of it"
    goal = f"{CSV_GOAL:g} of it"
    met = ours_s / alone_s <= CSV_GOAL
    return [Figure("runs and bends as CSV", measured, f"{alone_s:.1f} s csv alone", goal, met)]


Made = list[tuple[Stored, dict[str, Any]]]


def _rows(pieces: Made) -> tuple[list[Row], list[Row]]:
    runs = [run_row("device", *one) for one in pieces]
    return runs, [row for one in pieces for row in bend_rows("device", *one)]


def _csv_alone(pieces: Made, path: Path) -> None:
    runs, bends = _rows(pieces)
    for rows, name in ((runs, "runs"), (bends, "bends")):
        with Path(f"{path}-{name}.csv").open("w", newline="", encoding="utf-8") as file:
            writer = csv.writer(file)
            for _ in range(PIECES // DIFFERENT):
                writer.writerows(rows)


def _csv_ours(pieces: Made, path: Path) -> None:
    with Path(f"{path}-r.csv").open("wb") as r, Path(f"{path}-b.csv").open("wb") as b:
        runs, bends = CsvFile(RUN_COLUMNS, r.write), CsvFile(BEND_COLUMNS, b.write)
        for _ in range(PIECES // DIFFERENT):
            for record, made in pieces:
                runs.add([run_row("device", record, made)])
                bends.add(bend_rows("device", record, made))
        runs.flush()
        bends.flush()


_ON_BEHALF = """
import json, resource, subprocess, sys, time
start = time.perf_counter()
subprocess.run(sys.argv[1:], check=True, stdout=subprocess.DEVNULL)
used = resource.getrusage(resource.RUSAGE_CHILDREN)
took = time.perf_counter() - start
print(json.dumps([took, used.ru_utime + used.ru_stime, used.ru_maxrss / 1024]))
"""


def _used(command: list[str], environment: dict[str, str]) -> tuple[float, float, float]:
    """Seconds, processor seconds and most megabytes of a command.

    A small process starts it: a child is counted as large as its parent was when it was made.
    """
    told = subprocess.run(
        [sys.executable, "-c", _ON_BEHALF, *command],
        cwd=ROOT, env=environment, check=True, capture_output=True, text=True,
    )  # fmt: skip
    took_s, cpu_s, memory_mb = json.loads(told.stdout)
    return took_s, cpu_s, memory_mb


def _whole(many: Path, place: Path) -> Iterator[Figure]:
    """The whole copy by the command, its memory, and checking it."""
    with Store.open(many, "bench") as store:
        records = [r for r, _ in zip(store.stored(), range(DIFFERENT), strict=False)]
    pieces = [(record, upgraded(json.loads(record.body))) for record in records]
    cpu_s = time.process_time()
    alone_s = _timed(lambda: _csv_alone(pieces, place / "again"))
    alone_cpu_s = time.process_time() - cpu_s
    into = place / "stick"
    into.mkdir()
    command = [sys.executable, "-m", "benchcalc", "export", "--all", str(into)]
    export_s, cpu_s, memory_mb = _used(command, plain_environment(BENCHCALC_STATE=str(many)))
    measured = f"{export_s:.1f} s, {export_s / alone_s:.2f} of it"
    met = export_s / alone_s <= ALL_GOAL
    floor = f"{alone_s:.1f} s csv alone"
    yield Figure("the whole copy, read back", measured, floor, f"{ALL_GOAL:g} of it", met)
    cpu = f"{cpu_s:.1f} s, {cpu_s / alone_cpu_s:.2f} of it"
    yield Figure("  its processor time", cpu, f"{alone_cpu_s:.1f} s csv alone")
    yield Figure("  its memory at most", f"{memory_mb:.0f} MB", "")
    (folder,) = into.iterdir()
    sums = ["sha256sum", "--quiet", "-c", "MANIFEST"]
    sum_s = _timed(lambda: subprocess.run(sums, cwd=folder, check=True))
    verify_s = _timed(lambda: verify(folder))
    size_mb = sum(p.stat().st_size for p in folder.iterdir()) / 1e6
    yield Figure(f"verify of {size_mb:.0f} MB", f"{verify_s:.1f} s", f"{sum_s:.1f} s sha256sum -c")
