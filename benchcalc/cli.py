"""Verbs and exit codes. What a verb needs is imported when it is asked for, not before.

Exit: 0 done; 1 done, but a finding says stop; 2 bad input or usage; 3 the machine lacks something.
"""

import argparse
import gc
import os
import re
import sys
from collections.abc import Callable
from functools import partial
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

import benchcalc
from benchcalc.commands.parser import BAD, DONE, LACKS, parser_of, tell
from benchcalc.commands.streams import OutputRefused, take_streams

if TYPE_CHECKING:
    from benchcalc.core.job import Job
    from benchcalc.jobfile.shop import Shop
    from benchcalc.report.told import Told
    from benchcalc.sensor.profile import SensorProfile

INTERRUPTED = 130
"""What a shell gives a command that Ctrl+C ended."""

VERBS = {
    "help": "a page of the manual",
    "sheet": "bend sheets, as text, JSON or pictures, and on paper",
    "demo": "the panel with an invented job and a simulated bench, nothing kept",
    "runs": "the pieces in this bench's log, and what was noticed about them later",
    "springback": "what this bench has been taught",
    "trial": "a die's true radius and lines from bent offcuts",
    "export": "copy the run log off",
    "verify": "whether a copy is whole",
    "collect": "many copies into one",
    "restore": "a records file that was set aside, back in its place",
    "learn": "bends that another bench's export tells of, for this one to begin from",
    "sensor": "live readings of an angle sensor, one a line",
    "device": "what of a bench this machine has",
    "words": "the phrases that a language lacks, for its translator",
    "completions": "what makes a shell complete these commands",
}
"""The commands besides the panel, each with what it does."""

_RUNS = {
    "help": "manual.run",
    "export": "log.export_words",
    "verify": "log.verify_words",
    "collect": "log.collect_words",
}
"""Where the function of a command stands, when it is not ``run`` in the module of its name."""

DEMO_SIZE = (800, 480)
COLLECT_AFTER = 100_000
"""Objects made, and still there, before garbage is looked for; a sheet makes a quarter of them."""


def main(arguments: list[str] | None = None) -> int:
    """Run one command; returns its exit code. Without arguments this is the whole process.

    What a start makes stays: looking for garbage among it, in the end too, would take a tenth of
    the time of a sheet.
    """
    if arguments is not None:
        return _run(arguments)
    gc.set_threshold(COLLECT_AFTER)
    take_streams()
    code = _run(sys.argv[1:])
    gc.freeze()
    return code


def _run(words: list[str]) -> int:
    try:
        try:
            if not words or words[0] not in VERBS:
                return panel(words)
            return _OWN.get(words[0], partial(command, words[0]))(words[1:])
        finally:  # of what argparse prints before it leaves, too
            sys.stdout.flush()
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return DONE
    except KeyboardInterrupt:
        return INTERRUPTED
    except OutputRefused as refused:
        return tell(f"benchcalc: standard output cannot be written: {refused}", LACKS)
    except OSError as error:
        where = error.filename if isinstance(error.filename, str) else "this machine"
        why = (error.strerror or str(error)).lower()
        return tell(f"benchcalc: {where}: {why}: check the disk and the rights on it", LACKS)


def command(verb: str, words: list[str]) -> int:
    """Run ``benchcalc VERB`` with the words after it, errors as JSON where that is asked for."""
    module, _, function = _RUNS.get(verb, f"{verb}.run").partition(".")
    run = getattr(import_module(f"benchcalc.commands.{module}"), function)
    if "--json" not in words:
        code: int = run(words, state_folder())
        return code
    from benchcalc.commands.json_errors import with_json_errors

    return with_json_errors(partial(run, words, state_folder()))


def completions(words: list[str]) -> int:
    """``benchcalc completions SHELL``: a script made from the parsers of all commands."""
    from benchcalc.commands.completions import run

    parsed = {verb: _OWN.get(verb, partial(command, verb)) for verb in VERBS}
    return run(words, {"": panel, **parsed}, VERBS)


def panel(words: list[str]) -> int:
    """``benchcalc [JOB] [--window WxH]``: the panel."""
    parser = parser_of(
        "",
        "Open the panel, fullscreen or in a window, with a job file or with the work in hand.",
        epilog=_verbs_listed(),
    )
    parser.add_argument("job", nargs="?", type=Path, metavar="JOB", help="a job file (YAML)")
    parser.add_argument("--window", type=_size, metavar="WxH", help="in a window, 800x480 say")
    parser.add_argument("--sensor", metavar="KEY", help="an angle sensor of sensors.yaml")
    parser.add_argument("--port", metavar="PORT", help="the serial port it is on")
    version = f"benchcalc {benchcalc.__version__}"
    parser.add_argument("-V", "--version", action="version", version=version)
    given = parser.parse_args(words)
    if given.job is not None and (meant := _meant_for_a_verb(given.job)):
        return tell(meant, BAD)

    def opened(shop: "Shop", job: "Job | None", trouble: "Told | None") -> None:
        from benchcalc.app import panel_sensors, run_panel

        sensor = panel_sensors(_sensor(given.sensor, given.port), _turn_sensor())
        run_panel(shop, job, given.window, state_folder(), trouble, sensor)

    return _open_panel(given.job, opened)


def _verbs_listed() -> str:
    """Every other command with what it does, a line each."""
    lines = [f"  {verb:<12}{about}" for verb, about in VERBS.items()]
    return "\n".join(
        (
            "Other commands, each with its own --help:",
            *lines,
            "A job file named like a command is given as ./NAME.",
        )
    )


def _meant_for_a_verb(job: Path) -> str:
    """What to say of a word that is neither a command nor a file, and looks like a command."""
    if job.suffix or job.name != str(job) or job.exists():
        return ""
    import difflib

    near = difflib.get_close_matches(job.name, VERBS, 1)
    meant = f"did you mean {near[0]}?" if near else "benchcalc --help lists the commands"
    return f"benchcalc: no command and no job file is called {job.name}: {meant}"


def demo(words: list[str]) -> int:
    """``benchcalc demo``: the panel with an invented job and a simulated bench, nothing kept."""
    parser = parser_of(
        "demo",
        "Open the panel in a window with an invented job and a simulated bench, whose angle sensor "
        "speaks through a serial port of its own. Nothing is kept afterwards.",
    )
    parser.add_argument("--window", type=_size, default=DEMO_SIZE, metavar="WxH")
    given = parser.parse_args(words)
    import tempfile

    from benchcalc.files.loading import asset_path

    job_file = asset_path("demo.yaml")
    with tempfile.TemporaryDirectory(prefix="benchcalc-demo-") as folder:

        def opened(shop: "Shop", job: "Job | None", trouble: "Told | None") -> None:
            from benchcalc.app import run_demo

            if job is not None:
                run_demo(shop, job, given.window, Path(folder))

        code = _open_panel(job_file, opened)
    if code == LACKS:
        print("Its bend sheet instead:\n")
        command("sheet", [str(job_file)])
    return code


def _open_panel(
    job_file: Path | None, opened: "Callable[[Shop, Job | None, Told | None], None]"
) -> int:
    """Read what the panel needs and open it; what the machine lacks is said in one sentence."""
    from benchcalc.files.loading import config_folder, load_shop
    from benchcalc.jobfile.problems import BadFile
    from benchcalc.report.told import told

    trouble: Told | None = None
    job = None
    try:
        shop = load_shop(config_folder())
    except BadFile as bad:
        tell(str(bad), BAD)
        shop, trouble = load_shop(None), told("trouble.profiles", problem=str(bad.problems[0]))
    try:
        if job_file is not None:
            from benchcalc.files.loading import load_job

            job = load_job(job_file, shop)
        from benchcalc.runlog.store import StoreError
        from benchcalc.shell.display.screen import NoScreen
    except BadFile as bad:
        return tell(str(bad), BAD)
    except ImportError as error:
        without = "benchcalc sheet works without it"
        return tell(f"benchcalc: the panel needs pygame and its font ({error}): {without}", LACKS)
    try:
        opened(shop, job, trouble)
    except BadFile as bad:
        return tell(str(bad), BAD)
    except (NoScreen, StoreError) as lacking:
        return tell(f"benchcalc: {lacking}", LACKS)
    return DONE


def _sensor(key: str | None, port: str | None) -> "tuple[SensorProfile, str] | None":
    """The sensor asked for, else the first that sensors.yaml gives a port; SystemExit for none."""
    from benchcalc.files.loading import config_folder, load_sensors

    profiles = load_sensors(config_folder())
    if key is None:
        profile = next((p for p in profiles if p.port and p.measures != "turn"), None)
    else:
        profile = next((p for p in profiles if p.key == key), None)
        if profile is None:
            known = ", ".join(p.key for p in profiles)
            raise SystemExit(
                tell(f"benchcalc: no sensor is called {key}: write one of {known}", BAD)
            )
    if profile is None:
        return None
    name = port or profile.port
    if not name:
        raise SystemExit(tell(f"benchcalc: {profile.key} has no port: name one with --port", BAD))
    return profile, name


def _turn_sensor() -> "tuple[SensorProfile, str] | None":
    """The sensor across the tube that sensors.yaml gives a port, if any."""
    from benchcalc.files.loading import config_folder, load_sensors

    turning = (p for p in load_sensors(config_folder()) if p.port and p.measures == "turn")
    return next(((profile, profile.port) for profile in turning), None)


BENCH_STATE = Path("/var/lib/benchcalc")
"""Where an installed bench keeps its records (``systemd/benchcalc.service``)."""


def state_folder() -> Path:
    """Where work and records lie: given outright, by the service manager, or the user's own.

    For a user without a home it is the bench's.
    """
    for name in ("BENCHCALC_STATE", "STATE_DIRECTORY"):
        if given := os.environ.get(name):
            return Path(given)
    if base := os.environ.get("XDG_STATE_HOME"):
        return Path(base) / "benchcalc"
    try:
        return Path.home() / ".local" / "state" / "benchcalc"
    except RuntimeError:
        return BENCH_STATE


def _size(text: str) -> tuple[int, int]:
    found = re.fullmatch(r"([0-9]{3,4})x([0-9]{3,4})", text, re.ASCII)
    width, height = (int(side) for side in found.groups()) if found else (0, 0)
    if width < 320 or height < 240:
        raise argparse.ArgumentTypeError(f"{text} is no size: write 800x480, at least 320x240")
    return width, height


_OWN: dict[str, Callable[[list[str]], int]] = {"demo": demo, "completions": completions}
"""Commands that need more than their words and the folder of the records."""
