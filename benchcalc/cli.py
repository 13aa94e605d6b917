"""Verbs and exit codes. What a verb needs is imported when it is asked for, not before.

Exit: 0 done; 1 done, but a finding says stop; 2 bad input or usage; 3 the machine lacks something.
"""

import argparse
import os
import re
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import benchcalc

if TYPE_CHECKING:
    from benchcalc.core.sheet import Sheet

DONE, STOPPED, BAD, LACKS = 0, 1, 2, 3
PICTURE_SIZE = (1200, 800)
DEMO_SIZE = (800, 480)


def main(arguments: list[str] | None = None) -> int:
    """Run one command; returns its exit code."""
    words = sys.argv[1:] if arguments is None else arguments
    verb = VERBS.get(words[0] if words else "")
    try:
        code = verb(words[1:]) if verb else panel(words)
        sys.stdout.flush()
        return code
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return DONE
    except KeyboardInterrupt:
        return DONE


def panel(words: list[str]) -> int:
    """``benchcalc [JOB] [--window WxH]``: the panel."""
    parser = _parser(
        "benchcalc",
        "Open the panel, fullscreen or in a window, with a job file or with the work in hand.",
        epilog="Other commands: sheet, demo, runs; each has its own --help. A job file with the "
        "name of a command is given as ./NAME.",
    )
    parser.add_argument("job", nargs="?", type=Path, metavar="JOB", help="a job file (YAML)")
    parser.add_argument("--window", type=_size, metavar="WxH", help="in a window, 800x480 say")
    parser.add_argument("--version", action="version", version=f"benchcalc {benchcalc.__version__}")
    given = parser.parse_args(words)
    return _open_panel(given.job, given.window, state_folder())


def demo(words: list[str]) -> int:
    """``benchcalc demo``: the panel in a window with an invented job, its records thrown away."""
    parser = _parser(
        "benchcalc demo",
        "Open the panel in a window with an invented job. Nothing is kept afterwards.",
    )
    parser.add_argument("--window", type=_size, default=DEMO_SIZE, metavar="WxH")
    given = parser.parse_args(words)
    import tempfile

    from benchcalc.shell.files import asset_path

    job = asset_path("demo.yaml")
    with tempfile.TemporaryDirectory(prefix="benchcalc-demo-") as folder:
        code = _open_panel(job, given.window, Path(folder))
    if code == LACKS:
        print("Its bend sheet instead:\n")
        sheet([str(job)])
    return code


def _open_panel(job_file: Path | None, size: tuple[int, int] | None, state: Path) -> int:
    from benchcalc.panel.wording import say
    from benchcalc.shell.files import config_folder, load_shop
    from benchcalc.shell.problems import BadFile

    trouble, job = "", None
    try:
        shop = load_shop(config_folder())
    except BadFile as bad:
        _say(str(bad), BAD)
        shop, trouble = load_shop(None), say("trouble.profiles", problem=bad.problems[0])
    if job_file is not None:
        from benchcalc.shell.job_file import load_job

        try:
            job = load_job(job_file, shop)
        except BadFile as bad:
            return _say(str(bad), BAD)
    try:
        from benchcalc.app import run_panel
    except ImportError as error:
        lacks = f"benchcalc: the panel needs pygame ({error}): benchcalc sheet works without it"
        return _say(lacks, LACKS)
    from benchcalc.runlog.store import StoreError
    from benchcalc.shell.screen import NoScreen

    try:
        run_panel(shop, job, size, state, trouble)
    except (NoScreen, StoreError) as lacking:
        return _say(f"benchcalc: {lacking}", LACKS)
    return DONE


def sheet(words: list[str]) -> int:
    """``benchcalc sheet JOB``: the bend sheet, as text, JSON or a picture."""
    parser = _parser("benchcalc sheet", "Print the bend sheet of a job.")
    parser.add_argument("job", type=Path, metavar="JOB", help="a job file (YAML)")
    parser.add_argument("--json", action="store_true", help="as JSON, numbers unrounded")
    parser.add_argument("--picture", type=Path, metavar="FILE", help="also draw it: .svg or .png")
    given = parser.parse_args(words)
    if given.picture is not None and given.picture.suffix not in (".svg", ".png"):
        name = given.picture.name
        return _say(f"benchcalc: --picture: {name}: .svg or .png: give the file such an end", BAD)
    from benchcalc.core.sheet import work_out
    from benchcalc.shell.files import config_folder
    from benchcalc.shell.job_file import load_job_with
    from benchcalc.shell.problems import BadFile

    try:
        worked = work_out(load_job_with(given.job, config_folder()))
    except BadFile as bad:
        return _say(str(bad), BAD)
    if given.picture is not None:
        code = _draw(worked, given.picture)
        if code != DONE:
            return code
    if given.json:
        from benchcalc.panel.sheet_json import sheet_json

        print(sheet_json(worked))
    else:
        from benchcalc.panel.sheet_text import sheet_text

        print(sheet_text(worked), end="")
    return STOPPED if worked.stopped else DONE


def _draw(worked: "Sheet", path: Path) -> int:
    from benchcalc.panel.sheet_picture import sheet_picture
    from benchcalc.panel.theme import PAPER

    scene = sheet_picture(worked, PICTURE_SIZE)
    try:
        if path.suffix == ".svg":
            from benchcalc.shell.svg import svg_text

            path.write_text(svg_text(scene, PAPER), encoding="utf-8")
        else:
            from benchcalc.shell.paint import save_png

            save_png(scene, path, PAPER, 2)
    except ImportError as error:
        return _say(f"benchcalc: a PNG needs pygame ({error}): .svg works without it", LACKS)
    except OSError as error:
        return _say(f"benchcalc: {path} cannot be written: {error.strerror}: name another", LACKS)
    return DONE


def runs(words: list[str]) -> int:
    """``benchcalc runs``: the pieces in this bench's log."""
    parser = _parser("benchcalc runs", "List the pieces that this bench has stored.")
    parser.add_argument("--json", action="store_true", help="one record a line, as JSON")
    given = parser.parse_args(words)
    import json

    from benchcalc.panel.run_list import run_line
    from benchcalc.runlog.records import PIECE
    from benchcalc.runlog.store import Store, StoreError
    from benchcalc.shell import clock

    folder = state_folder()
    if not folder.is_dir():
        print("No pieces stored yet.")
        return DONE
    try:
        with Store.open(folder, clock.boot_id()) as store:
            count = 0
            for entry in store.records(PIECE):
                count += 1
                as_json = json.dumps(entry._asdict(), ensure_ascii=False)
                print(as_json if given.json else run_line(entry._asdict()))
            if not count and not given.json:
                print("No pieces stored yet.")
    except StoreError as error:
        return _say(f"benchcalc: {error}", LACKS)
    return DONE


def state_folder() -> Path:
    """Where work and records lie: given outright, by the service manager, or the user's own."""
    for name in ("BENCHCALC_STATE", "STATE_DIRECTORY"):
        if given := os.environ.get(name):
            return Path(given)
    base = os.environ.get("XDG_STATE_HOME")
    return (Path(base) if base else Path.home() / ".local" / "state") / "benchcalc"


def _parser(prog: str, description: str, epilog: str | None = None) -> argparse.ArgumentParser:
    return argparse.ArgumentParser(
        prog=prog, description=description, epilog=epilog, allow_abbrev=False
    )


def _size(text: str) -> tuple[int, int]:
    found = re.fullmatch(r"([0-9]{3,4})x([0-9]{3,4})", text, re.ASCII)
    width, height = (int(side) for side in found.groups()) if found else (0, 0)
    if width < 320 or height < 240:
        raise argparse.ArgumentTypeError(f"{text} is no size: write 800x480, at least 320x240")
    return width, height


def _say(sentence: str, code: int) -> int:
    print(sentence, file=sys.stderr)
    return code


VERBS: dict[str, Callable[[list[str]], int]] = {"sheet": sheet, "demo": demo, "runs": runs}
