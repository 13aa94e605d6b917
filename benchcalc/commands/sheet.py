"""``benchcalc sheet JOB``: the bend sheet, corrected where bends went off.

A list of points (.csv, .tsv, .txt) is a job too, with tube and bender named beside it.
"""

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from benchcalc.commands.parser import BAD, DONE, LACKS, STOPPED, parser_of, tell
from benchcalc.commands.so_far import add_options, so_far_of
from benchcalc.core.fit.expected_miss import Tolerances
from benchcalc.core.job import Job
from benchcalc.core.sheet import Sheet, work_out
from benchcalc.core.springback.first_guess import Springback, first_guess
from benchcalc.files.loading import config_folder, load_job_with, load_shop
from benchcalc.jobfile.problems import BadFile, BadValue, nearest

if TYPE_CHECKING:
    from benchcalc.core.fit.correction import Correction
    from benchcalc.core.fit.so_far import SoFar
    from benchcalc.core.shapes.drawing import NoWay
    from benchcalc.core.shapes.named_shapes import NotBeside
    from benchcalc.runlog.reading import Damage

POINTS_ENDINGS = (".csv", ".tsv", ".txt")


class BadUse(Exception):
    """Options that cannot be; the text is a sentence."""


def run(words: list[str], state: Path) -> int:
    """Print the sheet; the exit code as the command line has them."""
    given = _options().parse_args(words)
    try:
        _check_files(given.picture, given.points)
        job = _job(given)
        learnt, usual = None, Tolerances()
        unread: list[Damage] = []
        if given.bench:
            from benchcalc.core.shapes.drawing import NoWay
            from benchcalc.core.shapes.named_shapes import NotBeside
            from benchcalc.runlog.store import StoreError
            from benchcalc.shell.memory import as_this_bench
            from benchcalc.shell.settings_file import SettingsFile

            usual = SettingsFile(state).seen().widths
            try:
                job, learnt, unread = as_this_bench(job, state)
            except StoreError as error:
                return tell(f"benchcalc: {error}", LACKS)
            except (NoWay, NotBeside) as none:
                return tell(f"benchcalc: {given.job.name}: {_not_here(none)}", BAD)
        so_far = _so_far(given, job)
        correction = _correction(so_far, job, learnt, usual)
    except BadFile as bad:
        return tell(str(bad), BAD)
    except BadUse as bad_use:
        return tell(f"benchcalc: {bad_use}", BAD)
    worked = _worked(job, learnt, correction)._replace(usual=usual)
    if so_far is not None:
        worked = worked._replace(so_far=so_far)
    if given.picture is not None:
        code = _draw(worked, given.picture)
        if code != DONE:
            return code
    if given.points is not None and (code := _write_points(worked, given.points)) != DONE:
        return code
    _print(worked, correction, given.json)
    if unread:
        return tell("\n".join(f"benchcalc: {damage.says}" for damage in unread), LACKS)
    return STOPPED if worked.stopped else DONE


def _options() -> argparse.ArgumentParser:
    parser = parser_of("sheet", "Print the bend sheet of a job.")
    parser.add_argument("job", type=Path, metavar="JOB", help="a job file, or a list of points")
    parser.add_argument("--json", action="store_true", help="as JSON, numbers unrounded")
    parser.add_argument("--picture", type=Path, metavar="FILE", help="also draw it: .svg or .png")
    parser.add_argument(
        "--bench", action="store_true", help="with what this bench has learnt and measured"
    )
    parser.add_argument(
        "--points", type=Path, metavar="FILE", help="also write its corner points, mm: .csv; "
        "as made once every bend is told with --bent",
    )  # fmt: skip
    add_options(parser)
    points = parser.add_argument_group("for a list of points")
    points.add_argument("--bender", metavar="KEY", help="a key of the bender profiles")
    points.add_argument("--tube", metavar="TUBE", help="OD x wall and material: '8x1 316'")
    points.add_argument("--units", choices=("mm", "in"), default="mm", help="of bare numbers")
    return parser


def _not_here(none: "NoWay | NotBeside") -> str:
    """What a job draws and this bench cannot, with what it has learnt."""
    from benchcalc.core.shapes.drawing import NoWay

    if isinstance(none, NoWay) and none.lost_deg:
        bends = " / ".join(f"{angle:g}" for angle in none.lost_deg)
        gone = f"the way taken, {bends}, cannot be bent with what this bench has learnt"
        return f"ports take: {gone}: take another one or move a port"
    if isinstance(none, NoWay):
        found = f"this bench finds {none.found} ways with what it has learnt"
        return f"ports take: {found}: take an earlier one or move a port"
    found = f"bend {none.bend} is one bend of 180 with what this bench has learnt"
    return f"parallel: {found}, and no tube of one die lies beside it: lay it on top, side: 90"


def _check_files(picture: Path | None, points: Path | None) -> None:
    if picture is not None and picture.suffix not in (".svg", ".png"):
        raise BadUse(f"--picture: {picture.name}: .svg or .png: give the file such an end")
    if points is not None and points.suffix != ".csv":
        raise BadUse(f"--points: {points.name}: .csv: give the file such an end")


def _job(given: argparse.Namespace) -> Job:
    if given.job.suffix not in POINTS_ENDINGS:
        if given.bender or given.tube:
            raise BadUse("--bender and --tube go with a list of points; a job file names its own")
        return load_job_with(given.job, config_folder())
    from benchcalc.files.loading import load_points_job
    from benchcalc.jobfile.points import parse_tube

    if not given.bender or not given.tube:
        raise BadUse(
            f"{given.job.name} is a list of points: name --bender KEY and --tube '8x1 316'"
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
    return load_points_job(given.job, tube, bender, given.units)


def _so_far(given: argparse.Namespace, job: Job) -> "SoFar | None":
    try:
        return so_far_of(given, job)
    except ValueError as error:
        raise BadUse(str(error)) from None


def _correction(
    so_far: "SoFar | None", job: Job, learnt: Springback | None, usual: Tolerances
) -> "Correction | None":
    if so_far is None:
        return None
    from benchcalc.core.fit.correction import correct

    try:
        known = learnt or first_guess(job.tube, job.bender, job.material)
        return correct(job, known, so_far.bent, usual, None, so_far.turned, so_far.marked)
    except ValueError as error:
        raise BadUse(str(error)) from None


def _worked(job: Job, learnt: Springback | None, correction: "Correction | None") -> Sheet:
    """The sheet; of a correction with what it leaves of the miss among the findings."""
    if correction is None:
        return _with_order(work_out(job, learnt))
    from benchcalc.core.fit.correction import left_over

    worked = work_out(correction.job, learnt)
    left = left_over(correction.after, job.fit)
    return worked._replace(findings=(*worked.findings, left)) if left else worked


def _with_order(worked: Sheet) -> Sheet:
    """Where a pull meets the bender, the order of bending that meets nothing goes along."""
    if not worked.meets_bender:
        return worked
    from benchcalc.core.clearance.order import best_order

    found = best_order(worked.job, worked.springback)
    findings = tuple(
        finding._replace(instead=found.steps if found else ())
        if finding.rule == "clash-bender" and finding.level == "stop"
        else finding
        for finding in worked.findings
    )
    return worked._replace(findings=findings)


def _print(worked: Sheet, correction: "Correction | None", as_json: bool) -> None:
    if as_json:
        from benchcalc.report.sheet_json import sheet_json

        print(sheet_json(worked, correction))
        return
    from benchcalc.report.sheet_text import sheet_text

    parts = [sheet_text(worked)]
    if correction is not None:
        from benchcalc.core.fit.as_made import as_made
        from benchcalc.report.correction_text import correction_text

        made = as_made(correction) if worked.all_made else None
        parts.insert(0, correction_text(correction, made))
    print("\n".join(parts), end="")


def _draw(worked: Sheet, path: Path) -> int:
    from benchcalc.report.sheet_svg import PICTURE_SIZE, draw_svg

    try:
        if path.suffix == ".svg":
            path.write_text(draw_svg(worked), encoding="utf-8")
        else:
            from benchcalc.report.sheet_picture import sheet_picture
            from benchcalc.report.theme import PAPER
            from benchcalc.shell.display.paint import save_png

            save_png(sheet_picture(worked, PICTURE_SIZE), path, PAPER, 2)
    except ImportError as error:
        return tell(f"benchcalc: a PNG needs pygame ({error}): .svg works without it", LACKS)
    except OSError as error:
        return tell(f"benchcalc: {path} cannot be written: {error.strerror}: name another", LACKS)
    return DONE


def _write_points(worked: Sheet, path: Path) -> int:
    from benchcalc.core.layout.path import corner_points
    from benchcalc.report.points_csv import points_csv

    crown = next((bend.number for bend in worked.layout.bends if bend.crown), None)
    if crown is not None:
        return tell(f"benchcalc: --points: bend {crown} is measured to its crown: it has no corner "
                    "point: leave --points out", BAD)  # fmt: skip
    points = corner_points(worked.layout, worked.path)
    try:
        path.write_text(points_csv(points), encoding="utf-8", newline="")
    except OSError as error:
        return tell(f"benchcalc: {path} cannot be written: {error.strerror}: name another", LACKS)
    return DONE
