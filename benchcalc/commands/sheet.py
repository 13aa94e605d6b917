"""``benchcalc sheet JOB…``: the bend sheet, corrected where bends went off; of several jobs a list.

A list of points (.csv, .tsv, .txt) is a job too, with tube and bender named beside it.
"""

import argparse
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from benchcalc.commands.parser import BAD, DONE, LACKS, STOPPED, parser_of, tell
from benchcalc.commands.refusal import STANDARD, BadUse, Lacks, write_out
from benchcalc.commands.sheet_job import add_points_options, read_job
from benchcalc.commands.so_far import add_options, so_far_of
from benchcalc.core.fit.expected_miss import Tolerances
from benchcalc.core.job import Job
from benchcalc.core.lengths import LengthError, parse_length
from benchcalc.core.sheet import Sheet, work_out
from benchcalc.core.springback.first_guess import Springback, first_guess
from benchcalc.files.loading import bench_name
from benchcalc.jobfile.problems import BadFile, Problem

if TYPE_CHECKING:
    from benchcalc.core.fit.correction import Correction
    from benchcalc.core.fit.so_far import SoFar
    from benchcalc.core.shapes.drawing import NoWay
    from benchcalc.core.shapes.named_shapes import NotBeside
    from benchcalc.runlog.reading import Damage

ENDINGS = {
    "picture": (".svg", ".png"),
    "points": (".csv",),
    "strip": (".svg", ".html"),
    "page": (".html", ".pdf"),
}
"""What a file that is also written may be called, by its option."""

MOST_KERF_MM = 20.0
"""More than any saw or cutting disc for tube takes."""

ONE_JOB = ("picture", "points", "bent", "turned", "marked")
"""Options that say something about one job alone."""


class Worked(NamedTuple):
    """A job worked out as it was asked for, and what of the bench's log could not be read."""

    sheet: Sheet
    correction: "Correction | None"
    unread: "list[Damage]"


def run(words: list[str], state: Path) -> int:
    """Print the sheet; the exit code as the command line has them."""
    given = _options().parse_args(words)
    try:
        _check(given)
        worked = [_work(job, name, given, state) for name, job in _jobs(given)]
        _write(worked, given)
    except BadFile as bad:
        return tell(str(bad), BAD)
    except BadUse as bad_use:
        return tell(f"benchcalc: {bad_use}", BAD)
    except Lacks as lacking:
        return tell(f"benchcalc: {lacking}", LACKS)
    unread = {damage.says: None for one in worked for damage in one.unread}
    if unread:
        return tell("\n".join(f"benchcalc: {says}" for says in unread), LACKS)
    return STOPPED if any(one.sheet.stopped for one in worked) else DONE


def _options() -> argparse.ArgumentParser:
    parser = parser_of("sheet", "Print the bend sheet of a job, or of several.")
    parser.add_argument(
        "jobs", nargs="+", metavar="JOB", help="a job file, a list of points, or - for standard "
        "input",
    )  # fmt: skip
    parser.add_argument("--json", action="store_true", help="as JSON, numbers unrounded")
    parser.add_argument(
        "--picture", metavar="FILE", help="also draw it: .svg or .png; - for SVG alone, on "
        "standard output",
    )  # fmt: skip
    parser.add_argument(
        "--strip", metavar="FILE", help="also a paper strip at true size to lay along the tube: "
        ".html to print, or .svg",
    )  # fmt: skip
    parser.add_argument(
        "--page", metavar="FILE", help="also a page of A4 a job: .html, or .pdf by way of Chromium"
    )
    parser.add_argument(
        "--kerf", metavar="LENGTH", help="what each cut of the saw takes, for the cut list of "
        "several jobs",
    )  # fmt: skip
    parser.add_argument(
        "--bench", action="store_true", help="with what this bench has learnt and measured"
    )
    parser.add_argument(
        "--points", metavar="FILE", help="also write its corner points, mm: .csv; "
        "as made once every bend is told with --bent",
    )  # fmt: skip
    add_options(parser)
    add_points_options(parser)
    return parser


def _check(given: argparse.Namespace) -> None:
    """Whether these words go together, before anything is read."""
    for option, endings in ENDINGS.items():
        name = getattr(given, option)
        if name is not None and name != STANDARD and Path(name).suffix not in endings:
            ends = " or ".join(endings)
            raise BadUse(f"--{option}: {Path(name).name}: {ends}: give the file such an end")
    out = [f"--{option}" for option in ENDINGS if getattr(given, option) == STANDARD]
    out += ["--json"] if out and given.json else []
    if len(out) > 1:
        raise BadUse(f"{' and '.join(out)} all go to standard output: name a file for one")
    if given.jobs.count(STANDARD) > 1:
        raise BadUse("- stands for standard input, which is read once: give it once")
    for option in ONE_JOB if len(given.jobs) > 1 else ():
        if getattr(given, option) is not None:
            raise BadUse(f"--{option} says something about one job: give it one at a time")


def _jobs(given: argparse.Namespace) -> list[tuple[str, Job]]:
    """Every job that is named. Raises BadFile with all problems of all of them."""
    jobs: list[tuple[str, Job]] = []
    problems: list[Problem] = []
    for name in given.jobs:
        try:
            jobs.append((name, read_job(name, given)))
        except BadFile as bad:
            problems += bad.problems
    if problems:
        raise BadFile(tuple(problems))
    return jobs


def _work(job: Job, name: str, given: argparse.Namespace, state: Path) -> Worked:
    """The job's sheet. Raises BadUse and Lacks."""
    learnt, usual = None, Tolerances()
    unread: list[Damage] = []
    if given.bench:
        from benchcalc.core.frozen import replace
        from benchcalc.core.shapes.drawing import NoWay
        from benchcalc.core.shapes.named_shapes import NotBeside
        from benchcalc.runlog.store import StoreError
        from benchcalc.shell.settings_file import SettingsFile
        from benchcalc.shell.taught import as_this_bench

        usual = SettingsFile(state).seen().widths
        try:
            job, learnt, unread, gauge_deg = as_this_bench(job, state)
            usual = replace(usual, gauge_deg=gauge_deg)
        except StoreError as error:
            raise Lacks(str(error)) from None
        except (NoWay, NotBeside) as none:
            raise BadUse(f"{Path(name).name}: {_not_here(none)}") from None
    so_far = _so_far(given, job)
    correction = _correction(so_far, job, learnt, usual, given.re_aim)
    sheet = _sheet(job, learnt, correction)._replace(usual=usual)
    if so_far is not None:
        sheet = sheet._replace(so_far=so_far)
    return Worked(sheet, correction, unread)


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


def _so_far(given: argparse.Namespace, job: Job) -> "SoFar | None":
    try:
        return so_far_of(given, job)
    except ValueError as error:
        raise BadUse(str(error)) from None


def _correction(
    so_far: "SoFar | None",
    job: Job,
    learnt: Springback | None,
    usual: Tolerances,
    re_aims: bool,
) -> "Correction | None":
    if so_far is None:
        if re_aims:
            raise BadUse("--re-aim: nothing is measured yet: tell a bend with --bent or --turned")
        return None
    from benchcalc.core.fit.correction import correct

    try:
        known = learnt or first_guess(job.tube, job.bender, job.material)
        if re_aims:
            return _re_aimed(so_far, job, known, usual)
        return correct(job, known, so_far.bent, usual, None, so_far.turned, so_far.marked)
    except ValueError as error:
        raise BadUse(str(error)) from None


def _re_aimed(so_far: "SoFar", job: Job, springback: Springback, usual: Tolerances) -> "Correction":
    """The angles and turns to come re-aimed, each measurement taken at its word."""
    from benchcalc.core.fit.reading import Reading
    from benchcalc.core.fit.reaim import UnderWay, re_aim

    angles = {number: Reading(angle, angle) for number, angle in so_far.bent.items()}
    turns = {number: Reading(turn, turn) for number, turn in so_far.turned.items()}
    piece = UnderWay(frozenset(so_far.bent), angles, turns, so_far.marked)
    return re_aim(job, springback, piece, usual).aimed


def _sheet(job: Job, learnt: Springback | None, correction: "Correction | None") -> Sheet:
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


def _write(worked: list[Worked], given: argparse.Namespace) -> None:
    """Files first, then what is printed: the sheets, or the file that goes to standard output."""
    from benchcalc.commands import sheet_files

    bench = bench_name() if given.bench else ""
    sheets, kerf_mm = [one.sheet for one in worked], _kerf_mm(given, worked[0].sheet)
    made: tuple[tuple[str | None, Callable[[str], str | bytes]], ...] = (
        (given.picture, lambda name: sheet_files.picture_bytes(sheets[0], name)),
        (given.points, lambda name: sheet_files.points_text(sheets[0])),
        (given.strip, lambda name: sheet_files.strip_text(sheets, name)),
        (given.page, lambda name: sheet_files.page_bytes(sheets, name, bench)),
    )
    for name, make in made:
        if name is not None:
            write_out(name, make(name))
    if STANDARD not in (name for name, _ in made):
        if bench and not given.json:
            print(f"As {bench} bends it\n")
        _print(worked, given.json)
        if len(sheets) > 1 and not given.json:
            from benchcalc.report.paper.cut_list import jobs_text

            print("\n" + jobs_text(sheets, kerf_mm), end="")


def _kerf_mm(given: argparse.Namespace, sheet: Sheet) -> float:
    """What a cut takes. Raises BadUse for what no saw takes."""
    if given.kerf is None:
        return 0.0
    try:
        kerf_mm = float(parse_length(given.kerf, sheet.job.units).mm)
    except LengthError as error:
        raise BadUse(f"--kerf {given.kerf}: {error}") from None
    if not 0 <= kerf_mm <= MOST_KERF_MM:
        raise BadUse(f"--kerf {given.kerf}: 0 to {MOST_KERF_MM:g} mm: write what the saw takes")
    return kerf_mm


def _print(worked: list[Worked], as_json: bool) -> None:
    if as_json:
        from benchcalc.report.sheet_json import sheet_dict, sheet_json

        if len(worked) == 1:
            print(sheet_json(worked[0].sheet, worked[0].correction))
            return
        import json

        plain = [sheet_dict(one.sheet, one.correction) for one in worked]
        print(json.dumps(plain, ensure_ascii=False, allow_nan=False, indent=1))
        return
    print("\n".join(map(_text, worked)), end="")


def _text(worked: Worked) -> str:
    from benchcalc.report.sheet_text import sheet_text

    parts = [sheet_text(worked.sheet)]
    if worked.correction is not None:
        from benchcalc.core.fit.as_made import as_made
        from benchcalc.report.correction_text import correction_text

        made = as_made(worked.correction) if worked.sheet.all_made else None
        parts.insert(0, correction_text(worked.correction, made))
    return "\n".join(parts)
