"""The job that a word on the command line names: a job file, a list of points, standard input."""

import argparse
import sys
from pathlib import Path

from benchcalc.commands.refusal import STANDARD, BadUse
from benchcalc.core.job import Job
from benchcalc.files.loading import config_folder, load_job_with, load_shop
from benchcalc.jobfile.problems import BadValue, nearest
from benchcalc.jobfile.strict_yaml import MOST_BYTES

POINTS_ENDINGS = (".csv", ".tsv", ".txt")


def add_points_options(parser: argparse.ArgumentParser) -> None:
    """What a list of points does not say by itself."""
    points = parser.add_argument_group("for a list of points")
    points.add_argument("--bender", metavar="KEY", help="a key of the bender profiles")
    points.add_argument("--tube", metavar="TUBE", help="OD x wall and material: '8x1 316'")
    points.add_argument("--units", choices=("mm", "in"), default="mm", help="of bare numbers")


def read_job(name: str, given: argparse.Namespace) -> Job:
    """The job called ``name``. Raises BadFile with all problems in it, and BadUse."""
    data = _standard_input() if name == STANDARD else None
    told = bool(given.bender or given.tube)
    listed = Path(name).suffix in POINTS_ENDINGS or (data is not None and told)
    if not listed:
        if told:
            raise BadUse("--bender and --tube go with a list of points; a job file names its own")
        return load_job_with(Path(name), config_folder(), data)
    from benchcalc.files.loading import load_points_job
    from benchcalc.jobfile.points import parse_tube

    if not given.bender or not given.tube:
        raise BadUse(
            f"{Path(name).name} is a list of points: name --bender KEY and --tube '8x1 316'"
        )
    shop = load_shop(config_folder())
    bender = shop.bender(given.bender)
    if bender is None:
        hint = nearest(given.bender, tuple(b.key for b in shop.benders))
        raise BadUse(
            f"no bender is called {given.bender}" + (f": did you mean {hint}?" if hint else "")
        )
    try:
        tube = parse_tube(given.tube, given.units, shop)
    except BadValue as refused:
        raise BadUse(f"--tube {given.tube}: {refused.limit}: {refused.todo}") from None
    return load_points_job(Path(name), tube, bender, given.units, data)


def _standard_input() -> bytes:
    """What is piped in, one byte more than a job file may have at most."""
    if sys.stdin is None:
        raise BadUse("-: standard input is closed: name a job file")
    try:
        return sys.stdin.buffer.read(MOST_BYTES + 1)
    except OSError as error:
        raise BadUse(f"-: standard input cannot be read ({error.strerror})") from None
