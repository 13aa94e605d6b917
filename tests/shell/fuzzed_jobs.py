"""Job files with anything in them, through the command itself: a sheet, or a sentence.

``python -m tests.shell.fuzzed_jobs --jobs 10000``: each exits with 0, 1 or 2, and what is refused
names the file and a line. Sound files of every kind of run are changed: a value in the place of
another, a key gone, a part from another file, odd bytes.
"""

import argparse
import contextlib
import io
import json
import random
import sys
import tempfile
import time
import traceback
from pathlib import Path
from typing import Any

import yaml

from benchcalc.cli import main
from benchcalc.files.loading import asset_path

_TUBE = {"od": 10, "wall": 1, "material": 316}
_HEAD = {"benchcalc": 1, "name": "fuzzed", "tube": _TUBE, "bender": "bench-10mm"}
_OWN = {
    "od": 10, "radius": 25, "max_angle": 190, "walls": {"any": [0.8, 1.5]}, "grip": 20, "free": 20,
    "between": 8, "lines": {"start": 0, "45": 10.4, "90": 25}, "scale": {"step": 1, "zero": 0.5},
    "envelope": {
        "die": {"from": [0, 25, -8], "to": [0, 25, 8], "radius": 20},
        "vice": {"low": [-90, 40, -60], "high": [-20, 90, -15]},
        "bench": {"faces": [0, 0, 1], "at": -60},
    },
}  # fmt: skip
SOUND: tuple[dict[str, Any], ...] = (
    yaml.safe_load(asset_path("demo.yaml").read_text()),
    {**_HEAD, "run": [
        {"leg": 120, "bend": 90},
        {"rolling_offset": {"leg": 110, "rise": 40, "roll": 30, "angle": 45, "turn": 90}},
        {"saddle": {"centre": 260, "height": 45, "angle": 60}},
        {"saddle": {"centre": 300, "height": 50, "angle": 45, "flat": 60, "turn": 180}},
        {"offset": {"leg": 150, "height": 60, "angle": 30}},
        {"u": {"leg": 160, "width": 120}}, {"leg": 140},
    ]},
    {**_HEAD, "parallel": {"spacing": 30, "side": 180}, "run": [
        {"leg": 160, "bend": 90},
        {"offset": {"leg": 150, "height": 60, "angle": 30, "turn": 90}}, {"leg": 140},
    ]},
    {**_HEAD, "points": [[0, 0, 0], [120, 0, 0], [120, 90, 0], [160, 90, 150]]},
    {**_HEAD, "ports": {"start": {"at": [0, 0, 0], "along": [1, 0, 0]},
                        "finish": {"at": [300, 180, 120], "along": [0, 0, 1]}, "take": 1}},
    {**_HEAD, "run": [{"leg": 120, "bend": 90},
                      {"port": {"at": [300, 320, 140], "along": [0, 0, 1]}}]},
    {**_HEAD, "bender": _OWN, "order": [2, 1], "held": "far", "measured": "outside",
     "ends": {"start": 10, "finish": -3}, "straight": {"start": 20, "finish": 20},
     "pressure": {"design": "120 bar", "allowable": "137.9 MPa", "quality": 1, "weld": 1},
     "stock": 3000, "fit": {"within": 2, "angle": 1}, "run": [
        {"leg": 90, "bend": 90}, {"leg": 85, "bend": 45, "turn": 90, "held": "reference"},
        {"leg": 200, "bend": 180, "turn": -90, "to": "crown"}, {"leg": 160}]},
)  # fmt: skip
"""A file of each kind of run, with every part that a job has."""

ODD: tuple[Any, ...] = (
    0, 1, 2, 10, -1, 0.5, 1e-9, -1e-9, 1e9, -1e9, 1e300, 1e-320, 45, 90, 179.999999, 180, 180.0001,
    360, -360, 361, 89.99999999, 1e15, 25, 24.9999, None, True, False, "", " ", "no", "12:30",
    "0123", "1 in", "4 3/8 in", "12,5", ".nan", ".inf", "0x10", "1e5", "crown", "far", "any", "in",
    "included", "304", "inside", "bench-3mm", "bench-1-8in", "5 bar", "10 %", "85 HRB", "\udcff",
    "é°\u202e", "x" * 500, [], {}, [0, 0, 0], [1, 2], {"leg": 1}, float("nan"), float("inf"),
)  # fmt: skip


def fuzzed(dice: random.Random) -> bytes:
    """A changed file."""
    tree = _copied(dice.choice(SOUND))
    for _ in range(dice.choice((1, 1, 1, 2, 3, 6))):
        _changed(tree, dice)
    text = yaml.safe_dump(tree, allow_unicode=True, sort_keys=False, default_flow_style=None)
    data = text.encode("utf-8", "surrogatepass")
    if dice.random() < 0.1:
        at = dice.randrange(len(data))
        data = data[:at] + dice.randbytes(dice.randrange(4)) + data[at + dice.randrange(9) :]
    return data


def _changed(tree: dict[str, Any], dice: random.Random) -> None:
    place = dice.choice(list(_places(tree)))
    keys = list(place) if isinstance(place, dict) else list(range(len(place)))
    if not keys:
        return
    key, way = dice.choice(keys), dice.random()
    if way < 0.65:
        place[key] = _copied(dice.choice(ODD))
    elif way < 0.75:
        del place[key]
    elif way < 0.9:
        other = dice.choice(list(_places(dice.choice(SOUND))))
        values = list(other.values()) if isinstance(other, dict) else list(other)
        place[key] = _copied(dice.choice(values)) if values else None
    elif isinstance(place, list):
        place.insert(key, _copied(place[key]))
    elif isinstance(place[key], int | float):
        place[key] *= dice.choice((-1, 0.1, 10, 1.0001, 0.999, 1000))


def _places(tree: Any) -> Any:
    """Every mapping and list in it."""
    if isinstance(tree, dict | list):
        yield tree
        for inner in list(tree.values()) if isinstance(tree, dict) else tree:
            yield from _places(inner)


def _copied(tree: Any) -> Any:
    if isinstance(tree, dict):
        return {key: _copied(value) for key, value in tree.items()}
    return [_copied(one) for one in tree] if isinstance(tree, list) else tree


def wrong(data: bytes, place: Path, options: tuple[str, ...] = ()) -> str:
    """What the command did that it may not, empty when it did well."""
    path = place / "job.yaml"
    path.write_bytes(data)
    out, err = io.StringIO(), io.StringIO()
    try:
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            code = main(["sheet", str(path), *options])
    except BaseException:
        return traceback.format_exc()
    if code not in (0, 1, 2):
        return f"exit {code}: {err.getvalue()}"
    if code == 2:
        lines = err.getvalue().splitlines()
        if "--json" in options:
            named = all(json.loads(line)["file"] == str(path) for line in lines)
        else:
            named = all(line.startswith(f"{path}:") for line in lines)
        return "" if lines and named and not out.getvalue() else f"refused as {lines}"
    said = out.getvalue().lower()
    return "" if said and "nan" not in said else "an empty sheet, or nan"


def study(jobs: int, seed: int, place: Path) -> list[tuple[int, str]]:
    """The numbers of the files that were not dealt with, and what became of each."""
    found = []
    for number in range(jobs):
        dice = random.Random(f"{seed} {number}")
        data = fuzzed(dice)
        if says := wrong(data, place, dice.choice(((), (), ("--json",)))):
            found.append((number, f"{says}\n{data.decode('utf-8', 'replace')}"))
    return found


if __name__ == "__main__":
    parser = argparse.ArgumentParser()
    parser.add_argument("--jobs", type=int, default=10_000)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    began = time.monotonic()
    with tempfile.TemporaryDirectory() as folder:
        bad = study(given.jobs, given.seed, Path(folder))
    for which, told in bad[:20]:
        print(f"-- {which}\n{told}")
    print(f"{given.jobs} fuzzed jobs, {len(bad)} wrong, {time.monotonic() - began:.0f} s")
    sys.exit(1 if bad else 0)
