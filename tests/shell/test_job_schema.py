"""The schema of a job file is made from the table that reads it, and the two agree about files.

The schema is judged by jsonschema, an implementation of JSON Schema of its own.
"""

import re
from typing import Any

import pytest
import yaml
from jsonschema import Draft202012Validator

from benchcalc.files.loading import asset_path, load_shop
from benchcalc.jobfile.job import parse_job
from benchcalc.jobfile.problems import BadJob
from benchcalc.jobfile.schema import job_schema, schema_text
from benchcalc.jobfile.writer import format_job
from tests.house.sources import ROOT
from tests.shell.test_job_writer import DRAWN

SHOP = load_shop(None)
SCHEMA = Draft202012Validator(job_schema())
HEAD = "benchcalc: 1\nname: rack\ntube: {od: 10, wall: 1, material: 304}\nbender: bench-10mm\n"
PAGES = (ROOT / "README.md", *sorted((ROOT / "assets/manual").glob("*.md")))
TEXT = "\n".join(page.read_text(encoding="utf-8") for page in PAGES)
SHOWN_JOBS = re.findall(r"```yaml\n((?:(?!```).)*?^benchcalc: 1.*?)```", TEXT, re.S | re.M)
assert len(SHOWN_JOBS) > 2
INLINE = """bender: {od: 10, radius: 25, max_angle: 180, lines: {start: 0, "45": 6.2}, source: ours,
  walls: {any: [0.5, 1.5]}, scale: {zero: -1}, parts: {clamp: vice},
  envelope: {bench: {faces: [0, 0, 1], at: -90}, vice: {low: [-9, -9, -9], high: [9, 9, "1 in"]}}}
"""
RUN = "run: [{leg: 120, bend: 90}, {leg: 80}]\n"
GOOD = {
    "the demo": asset_path("demo.yaml").read_text(),
    "a bender of its own": HEAD.replace("bender: bench-10mm\n", INLINE) + RUN,
    "everything else": HEAD + RUN + "units: in\nangles: included\norder: [1]\nstock: 1' 2 1/2\"\n"
    "pressure: {design: 120 bar, allowable: 137.9 MPa}\nfit: {within: 1/16, angle: 1 deg}\n",
    **{f"shown {n}": text for n, text in enumerate(SHOWN_JOBS)},
    **{name: HEAD + body for name, body in DRAWN.items()},
}
BAD = {
    "bend past 180": HEAD + RUN.replace("90", "190"),
    "turn past 360": HEAD + RUN.replace("bend: 90", "bend: 90, turn: 400"),
    "leg of nothing": HEAD + RUN.replace("120", "0"),
    "leg in cm": HEAD + RUN.replace("120", "12 cm"),
    "unknown key": HEAD + RUN + "toleranse: 1\n",
    "unknown unit": HEAD + RUN + "units: cm\n",
    "no tube": HEAD.replace("tube:", "tub:") + RUN,
    "no unit of pressure": HEAD + RUN + "pressure: {design: 120, allowable: 137.9 MPa}\n",
    "hardness without scale": HEAD.replace("304}", "304, hardness: 85}") + RUN,
    "two ways": HEAD + RUN + "points: [[0, 0, 0], [9, 0, 0], [9, 90, 0]]\n",
    "no way": HEAD,
    "one leg": HEAD + "run: [{leg: 80}]\n",
    "another format": (HEAD + RUN).replace("benchcalc: 1", "benchcalc: 2"),
    "tolerance of nothing": HEAD + RUN + "tolerance: 0\n",
    "an order that is no list": HEAD + RUN + "order: 1\n",
    "half a piece": HEAD + RUN + "pieces: 1.5\n",
    "an offset that goes back": HEAD
    + "run: [{offset: {leg: 90, height: 60, angle: 190}}, {leg: 80}]\n",
    "a port without a direction": HEAD + "run: [{leg: 90, bend: 90}, {port: {at: [0, 0, 0]}}]\n",
}


def faults(text: str) -> list[str]:
    plain: Any = yaml.safe_load(text)
    return [error.message for error in SCHEMA.iter_errors(plain)]


def test_the_file_is_what_the_table_makes() -> None:
    """Written by ``python -m benchcalc.files.schema > assets/job.schema.json``."""
    assert asset_path("job.schema.json").read_text("utf-8") == schema_text()
    Draft202012Validator.check_schema(job_schema())


@pytest.mark.parametrize("name", GOOD)
def test_a_file_that_is_read_is_a_job_by_the_schema(name: str) -> None:
    job = parse_job(GOOD[name].encode(), name, SHOP)
    assert faults(GOOD[name]) == [] and faults(format_job(job)) == []


@pytest.mark.parametrize("name", BAD)
def test_a_file_that_is_refused_is_none_by_the_schema(name: str) -> None:
    with pytest.raises(BadJob):
        parse_job(BAD[name].encode(), name, SHOP)
    assert faults(BAD[name])
