"""The tables as an engine for tables reads them: the same values as Python's csv and json."""

import csv
import json
import random
from pathlib import Path
from typing import Any

import pytest

from benchcalc.runlog.records import PIECE
from tests.house.sources import ROOT
from tests.runlog.bench_log import WHEN, bench_log, piece
from tests.runlog.copying import collected, copied

duckdb = pytest.importorskip("duckdb", reason="the tables are read by DuckDB too: pip install")

ODD = ["=1+1", "-12", "+4.5", "a,b", 'say "no"', "é ½", "a\nb", "-3 way", "@x"]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    dice = random.Random(6)
    with bench_log(tmp_path / "state", pieces=40) as store:
        for text in ODD:
            store.append(PIECE, piece(dice, name=text, lot=text), WHEN, True)
        return copied(store, tmp_path).folder


def ask(query: str) -> list[tuple[Any, ...]]:
    rows: list[tuple[Any, ...]] = duckdb.sql(query).fetchall()
    return rows


@pytest.mark.parametrize("name", ["runs.csv", "bends.csv", "remarks.csv"])
def test_csv_is_read_alike(folder: Path, name: str) -> None:
    with (folder / name).open(encoding="utf-8", newline="") as file:
        header, *wanted = csv.reader(file)
    read = f"read_csv('{folder / name}', header = true, all_varchar = true)"
    found = [[cell or "" for cell in row] for row in ask(f"SELECT * FROM {read}")]
    assert [column[0] for column in ask(f"DESCRIBE SELECT * FROM {read}")] == header
    assert found == wanted


def test_numbers_are_numbers(folder: Path) -> None:
    records = [json.loads(t) for t in (folder / "records.jsonl").read_text().splitlines()]
    bends = [b for r in records if r["kind"] == "piece" for b in r["body"]["bends"]]
    found = ask(f"SELECT target_deg, turn_deg, released_deg FROM '{folder / 'bends.csv'}'")
    assert found == [(b["target_deg"], b["turn_deg"], b["released_deg"]) for b in bends]
    kinds = dict(row[:2] for row in ask(f"DESCRIBE SELECT * FROM '{folder / 'bends.csv'}'"))
    assert (kinds["error_deg"], kinds["sequence"]) == ("DOUBLE", "BIGINT")


QUERY = """
SELECT bender, lot, count(*) AS bends, round(avg(error_deg), 2) AS off_deg,
       avg(CAST(pulls = 1 AND verdict = 'good' AS INT)) AS right_at_first
FROM read_json('benchcalc-collected/bends/*/*/*.jsonl', hive_partitioning = true)
WHERE month >= '2031-05' AND released_deg IS NOT NULL
GROUP BY ALL ORDER BY bends DESC, lot
"""


def test_the_query_in_the_readme(folder: Path, tmp_path: Path) -> None:
    readme = (ROOT / "assets/manual/many-benches.md").read_text(encoding="utf-8")
    assert "DuckDB" not in readme or QUERY.strip() in readme
    whole = collected([folder], tmp_path / "all").folder
    rows = ask(QUERY.replace("benchcalc-collected", str(whole)))
    with (whole / "bends.csv").open(encoding="utf-8", newline="") as file:
        bends = list(csv.DictReader(file))
    by_lot: dict[str, list[float]] = {}
    for bend in bends:
        by_lot.setdefault(bend["lot"], []).append(float(bend["error_deg"]))
    assert sum(row[2] for row in rows) == len(bends)
    for _, lot, count, off_deg, right in rows:
        plain = f"'{lot}" if lot.startswith(("=", "@", "-3")) else lot
        assert count == len(by_lot[plain])
        assert off_deg == pytest.approx(sum(by_lot[plain]) / count, abs=0.006)
        assert 0 <= right <= 1
