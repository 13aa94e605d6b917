"""The questions in assets/sql, asked of a collection by DuckDB and worked out by Python alone."""

import csv
import random
from collections import defaultdict
from math import sqrt
from pathlib import Path
from statistics import fmean, stdev
from typing import Any

import pytest

from benchcalc.runlog.records import PIECE
from tests.house.sources import ROOT
from tests.runlog.bench_log import WHEN, bench_log, piece
from tests.runlog.copying import collected, copied

duckdb = pytest.importorskip("duckdb", reason="the questions are asked of DuckDB: pip install")

SQL = ROOT / "assets" / "sql"
COLUMNS = {"bench": "device", "lot": "lot", "bender": "bender"}


@pytest.fixture
def collection(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Three benches with pieces of several lots, one of them with a clock that was never set."""
    copies = []
    for bench in range(3):
        dice = random.Random(bench)
        with bench_log(tmp_path / f"state{bench}", pieces=30) as store:
            for number in range(20):
                when = "unset" if bench == 2 and number == 0 else WHEN
                store.append(PIECE, piece(dice, lot=f"L{number % 4}"), when, bench < 2)
            copies.append(copied(store, tmp_path).folder)
    whole = collected(copies, tmp_path).folder
    monkeypatch.chdir(whole)
    return whole


def asked(name: str, *before: str) -> list[dict[str, Any]]:
    """What a question answers, after the files that it rests on."""
    with duckdb.connect() as engine:
        for other in before:
            engine.execute((SQL / f"{other}.sql").read_text(encoding="utf-8"))
        found = engine.execute((SQL / f"{name}.sql").read_text(encoding="utf-8"))
        columns = [column[0] for column in found.description]
        return [dict(zip(columns, row, strict=True)) for row in found.fetchall()]


def compared(what: str) -> list[dict[str, Any]]:
    """What the comparison answers of benches, lots, months or benders."""
    return [row for row in asked("compared", "bends") if row["what"] == what]


def by_hand(rows: list[dict[str, str]], column: str) -> dict[str, tuple[float, ...]]:
    """The same figures, a group at a time, from bends.csv."""
    groups: dict[str, list[dict[str, str]]] = defaultdict(list)
    measured = [row for row in rows if row["released_deg"]]
    for row in measured:
        groups[row[column]].append(row)

    def good(some: list[dict[str, str]]) -> float:
        return float(sum(row["pulls"] == "1" and row["verdict"] == "good" for row in some))

    found: dict[str, tuple[float, ...]] = {}
    for who, own in groups.items():
        others = [row for row in measured if row[column] != who]
        opened = [
            float(row["last_loaded_deg"]) - float(row["released_deg"])
            for row in own if 80 <= float(row["target_deg"]) <= 100
        ]  # fmt: skip
        share = good(measured) / len(measured)
        error = sqrt(share * (1 - share) * (1 / len(own) + 1 / len(others))) if others else 0.0
        off = good(own) / len(own) - good(others) / len(others) if others else 0.0
        found[who] = (
            len(own), good(own) / len(own),
            fmean(row["verdict"] == "over" for row in own),
            fmean(row["outcome"] == "scrapped" for row in own),
            fmean(opened), stdev(opened), off / error if error else 0.0,
        )  # fmt: skip
    return found


@pytest.mark.parametrize("name", COLUMNS)
def test_every_figure_is_the_one_worked_out_by_hand(name: str, collection: Path) -> None:
    with (collection / "bends.csv").open(encoding="utf-8", newline="") as file:
        wanted = by_hand(list(csv.DictReader(file)), COLUMNS[name])
    answers = compared(name)
    assert {row["who"] for row in answers} == wanted.keys()
    for row in answers:
        _, who, *figures, errors = row.values()
        assert [*figures, errors or 0.0] == pytest.approx(list(wanted[who]), abs=1e-9)
    far = [abs(row["standard_errors"] or 0.0) for row in answers]
    assert far == sorted(far, reverse=True), "what stands out stands first"


def test_columns_have_types_and_an_unknown_month_is_none(collection: Path) -> None:
    with duckdb.connect() as engine:
        engine.execute((SQL / "bends.sql").read_text(encoding="utf-8"))
        kinds = dict(row[:2] for row in engine.execute("DESCRIBE bends").fetchall())
        trusted = engine.execute("SELECT DISTINCT clock_trusted FROM bends").fetchall()
    assert (kinds["clock_trusted"], kinds["target_deg"]) == ("BOOLEAN", "DOUBLE")
    assert (kinds["pulls"], kinds["lot"]) == ("INTEGER", "VARCHAR")
    assert sorted(trusted) == [(False,), (True,)]
    months = {row["who"] for row in compared("month")}
    assert None in months and "unknown" not in months and len(months) > 1


def test_parquet_answers_alike(collection: Path) -> None:
    plain = asked("compared", "bends")
    assert {row["what"] for row in plain} == {*COLUMNS, "month"}
    asked("parquet", "bends")
    read = "SELECT * FROM read_parquet('bends.parquet/*/*/*.parquet', hive_partitioning = true)"
    with duckdb.connect() as engine:
        engine.execute(f"CREATE VIEW bends AS {read}")
        rows = engine.execute((SQL / "compared.sql").read_text(encoding="utf-8")).fetchall()
    assert len(rows) == len(plain)
    for row, wanted in zip(rows, plain, strict=True):
        assert row[:3] == (wanted["what"], wanted["who"], wanted["bends"])
        assert [x or 0.0 for x in row[3:]] == pytest.approx(
            [x or 0.0 for x in list(wanted.values())[3:]], abs=1e-9
        )
