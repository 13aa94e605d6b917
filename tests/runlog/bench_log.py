"""Invented records for the tests of the run log: a sampling rack bent from a few lots."""

import json
import random
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from benchcalc.runlog.chain import Stored, linked
from benchcalc.runlog.records import PIECE, REMARK, SCHEMA_VERSION, remark
from benchcalc.runlog.store import Store

WHEN = "2031-05-04T09:30:00+00:00"
TEXT = "INSERT INTO records VALUES (?, ?, ?, ?, ?, ?, ?)"


def fill_fast(opened: Store, count: int, body: dict[str, Any]) -> None:
    """Many equal records in one transaction, linked as ``append`` links them."""
    put_fast(opened, ((WHEN, body) for _ in range(count)))


def put_fast(opened: Store, bodies: Iterable[tuple[str, dict[str, Any]]]) -> None:
    """Pieces with their wall times, in one transaction."""
    opened._writing.execute("BEGIN")
    opened._writing.executemany(TEXT, _linked(opened, bodies))
    opened._writing.execute("COMMIT")


def _linked(opened: Store, bodies: Iterable[tuple[str, dict[str, Any]]]) -> Iterator[Stored]:
    last, previous = opened.head()
    for sequence, (when, body) in enumerate(bodies, last + 1):
        text = json.dumps(body, ensure_ascii=False, separators=(",", ":"), sort_keys=True)
        record = Stored(sequence, "boot", when, 0, PIECE, text, "")
        previous = linked(previous, record.text(opened.device).encode())
        yield record._replace(hash=previous)


def bend(dice: random.Random, number: int, target_deg: float) -> dict[str, Any]:
    springback = 0.6 + 0.021 * target_deg + dice.gauss(0, 0.15)
    to = target_deg + springback
    low = dice.random() < 0.3
    first = to - (1.4 if low else dice.gauss(0, 0.2))
    pulls = [_pull(first, first - springback)]
    if low:
        pulls.append(_pull(to, to - springback))
    return {
        "number": number, "order": number, "target_deg": target_deg,
        "overbend_deg": to - target_deg, "bend_to_deg": to, "overbend_from": "measured",
        "first_pull_deg": first, "pulls": pulls,
        "line": "90", "mark_mm": 74.2 * number, "turn_deg": dice.choice([-90.0, 0.0, 180.0]),
        "held": "reference", "radius_mm": 25.4, "released_deg": pulls[-1]["released_deg"],
        "verdict": "good", "counted": 1.0, "calipers_mm": None,
    }  # fmt: skip


def _pull(to_deg: float, released_deg: float) -> dict[str, Any]:
    return {
        "pulled_to_deg": to_deg, "released_deg": round(released_deg, 1), "by": "hand",
        "raw_deg": None, "zero_deg": None,
    }  # fmt: skip


def piece(dice: random.Random, bends: int = 4, **changes: Any) -> dict[str, Any]:
    """A piece of form 2."""
    scrapped = dice.random() < 0.05
    return {
        "form": SCHEMA_VERSION, "name": "water-sampling rack, inlet", "drawing": "WSR-12 A",
        "operator": "R. Ost", "piece": 1, "pieces": 4, "od_mm": 10.0, "wall_mm": 1.0,
        "material": "316", "material_values": {"key": "316", "k_mpa": [1275.0], "n": [0.45]},
        "lot": dice.choice(["W2208", "W2209", "W2300"]), "bender": "bench-10mm",
        "bender_values": {"key": "bench-10mm", "od_mm": 10.0, "radius_mm": 25.0, "lines": []},
        "theory": {"a_deg": 0.0, "b": 0.02, "var_a": 0.25, "var_b": 3e-5},
        "tolerance_deg": 0.5, "cut_length_mm": 412.25,
        "bends": [bend(dice, n, dice.choice([30.0, 45.0, 90.0])) for n in range(1, bends + 1)],
        "findings": [
            {"level": "note", "rule": "overbend-guess", "bend": None, "says": "An estimate.",
             "overridden_by": None},
        ],
        "corrections": [], "outcome": "scrapped" if scrapped else "made",
        "why": dice.choice(["kinked or flattened", "mark missed"]) if scrapped else "",
        "software": "0.1.0", **changes,
    }  # fmt: skip


def bench_log(folder: Path, pieces: int = 12, seed: int = 1) -> Store:
    """An open store with pieces, one of an older form, and a remark about the first."""
    dice = random.Random(seed)
    opened = Store.open(folder, "boot")
    put_fast(
        opened, ((f"2031-{5 + n % 3:02}-04T09:30:00+00:00", piece(dice)) for n in range(pieces))
    )
    opened.append(PIECE, old_piece(dice), WHEN, True)
    opened.append(REMARK, remark(1, "leaks at the ferrule", "R. Ost"), WHEN, True)
    return opened


def old_piece(dice: random.Random) -> dict[str, Any]:
    """A piece as the first form had it."""
    new = piece(dice, 2)
    for key in ("form", "material_values", "theory", "tolerance_deg", "corrections"):
        del new[key]
    for one in new["bends"]:
        for pull in one["pulls"]:
            del pull["raw_deg"], pull["zero_deg"]
        del one["order"], one["overbend_from"], one["counted"], one["calipers_mm"]
    for finding in new["findings"]:
        del finding["overridden_by"]
    return new
