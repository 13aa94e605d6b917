"""Verbs and exit codes. What a verb needs is imported when it is asked for, not before.

Exit: 0 done; 1 done, but a finding says stop; 2 bad input or usage; 3 the machine lacks something.
"""

import argparse
import gc
import os
import re
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import benchcalc
from benchcalc.commands.streams import OutputRefused, take_streams

if TYPE_CHECKING:
    from benchcalc.core.job import Job
    from benchcalc.jobfile.shop import Shop
    from benchcalc.sensor.profile import SensorProfile

DONE, STOPPED, BAD, LACKS = 0, 1, 2, 3
INTERRUPTED = 130
"""What a shell gives a command that Ctrl+C ended."""

DEMO_SIZE = (800, 480)
HELP_WIDTH = 78
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
    verb = VERBS.get(words[0] if words else "")
    try:
        try:
            return verb(words[1:]) if verb else panel(words)
        finally:  # of what argparse prints before it leaves, too
            sys.stdout.flush()
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return DONE
    except KeyboardInterrupt:
        return INTERRUPTED
    except OutputRefused as refused:
        return _say(f"benchcalc: standard output cannot be written: {refused}", LACKS)
    except OSError as error:
        where = error.filename if isinstance(error.filename, str) else "this machine"
        why = (error.strerror or str(error)).lower()
        return _say(f"benchcalc: {where}: {why}: check the disk and the rights on it", LACKS)


def panel(words: list[str]) -> int:
    """``benchcalc [JOB] [--window WxH]``: the panel."""
    parser = _parser(
        "benchcalc",
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
        return _say(meant, BAD)

    def opened(shop: "Shop", job: "Job | None", trouble: str) -> None:
        from benchcalc.app import panel_sensor, run_panel

        found = _sensor(given.sensor, given.port)
        sensor = panel_sensor(*found) if found else None
        run_panel(shop, job, given.window, state_folder(), trouble, sensor)

    return _open_panel(given.job, opened)


def _verbs_listed() -> str:
    """Every other command with what it does, a line each, as its docstring says."""
    lines = []
    for name, verb in VERBS.items():
        _, _, about = (verb.__doc__ or "").partition("``: ")
        lines.append(f"  {name:<12}{about.partition(chr(10))[0].rstrip('.')}")
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
    parser = _parser(
        "benchcalc demo",
        "Open the panel in a window with an invented job and a simulated bench, whose angle sensor "
        "speaks through a serial port of its own. Nothing is kept afterwards.",
    )
    parser.add_argument("--window", type=_size, default=DEMO_SIZE, metavar="WxH")
    given = parser.parse_args(words)
    import tempfile

    from benchcalc.jobfile.files import asset_path

    job_file = asset_path("demo.yaml")
    with tempfile.TemporaryDirectory(prefix="benchcalc-demo-") as folder:

        def opened(shop: "Shop", job: "Job | None", trouble: str) -> None:
            from benchcalc.app import run_demo

            if job is not None:
                run_demo(shop, job, given.window, Path(folder))

        code = _open_panel(job_file, opened)
    if code == LACKS:
        print("Its bend sheet instead:\n")
        sheet([str(job_file)])
    return code


def _open_panel(job_file: Path | None, opened: "Callable[[Shop, Job | None, str], None]") -> int:
    """Read what the panel needs and open it; what the machine lacks is said in one sentence."""
    from benchcalc.jobfile.files import config_folder, load_shop
    from benchcalc.jobfile.problems import BadFile
    from benchcalc.words.language import say

    trouble, job = "", None
    try:
        shop = load_shop(config_folder())
    except BadFile as bad:
        _say(str(bad), BAD)
        shop, trouble = load_shop(None), say("trouble.profiles", problem=bad.problems[0])
    try:
        if job_file is not None:
            from benchcalc.jobfile.job import load_job

            job = load_job(job_file, shop)
        from benchcalc.runlog.store import StoreError
        from benchcalc.shell.display.screen import NoScreen
    except BadFile as bad:
        return _say(str(bad), BAD)
    except ImportError as error:
        lacks = f"benchcalc: the panel needs pygame ({error}): benchcalc sheet works without it"
        return _say(lacks, LACKS)
    try:
        opened(shop, job, trouble)
    except BadFile as bad:
        return _say(str(bad), BAD)
    except (NoScreen, StoreError) as lacking:
        return _say(f"benchcalc: {lacking}", LACKS)
    return DONE


def _sensor(key: str | None, port: str | None) -> "tuple[SensorProfile, str] | None":
    """The sensor asked for, else the first that sensors.yaml gives a port; SystemExit for none."""
    from benchcalc.jobfile.files import config_folder
    from benchcalc.jobfile.sensors import load_sensors

    profiles = load_sensors(config_folder())
    if key is None:
        profile = next((p for p in profiles if p.port), None)
    else:
        profile = next((p for p in profiles if p.key == key), None)
        if profile is None:
            known = ", ".join(p.key for p in profiles)
            raise SystemExit(
                _say(f"benchcalc: no sensor is called {key}: write one of {known}", BAD)
            )
    if profile is None:
        return None
    name = port or profile.port
    if not name:
        raise SystemExit(_say(f"benchcalc: {profile.key} has no port: name one with --port", BAD))
    return profile, name


def sheet(words: list[str]) -> int:
    """``benchcalc sheet JOB``: the bend sheet, as text, JSON or a picture."""
    parser = _parser("benchcalc sheet", "Print the bend sheet of a job.")
    from benchcalc.commands.sheet import run

    return run(parser, words, state_folder())


def runs(words: list[str]) -> int:
    """``benchcalc runs``: the pieces in this bench's log, and what was noticed about them later."""
    parser = _parser("benchcalc runs", "List the pieces that this bench has stored.")
    from benchcalc.commands.runs import run

    return run(parser, words, state_folder())


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


def _parser(prog: str, description: str, epilog: str | None = None) -> argparse.ArgumentParser:
    return argparse.ArgumentParser(
        prog=prog,
        description=description,
        epilog=epilog,
        formatter_class=_Help,
        allow_abbrev=False,
    )


class _Help(argparse.HelpFormatter):
    """Help as wide everywhere: argparse asks a terminal for its width each time it is made.

    Asking it loads more modules than a sheet needs of argparse.
    """

    def __init__(self, prog: str) -> None:
        super().__init__(prog, width=HELP_WIDTH)

    def _fill_text(self, text: str, width: int, indent: str) -> str:
        """A text of several lines stands as it was written."""
        return text if "\n" in text else super()._fill_text(text, width, indent)


def _size(text: str) -> tuple[int, int]:
    found = re.fullmatch(r"([0-9]{3,4})x([0-9]{3,4})", text, re.ASCII)
    width, height = (int(side) for side in found.groups()) if found else (0, 0)
    if width < 320 or height < 240:
        raise argparse.ArgumentTypeError(f"{text} is no size: write 800x480, at least 320x240")
    return width, height


def _say(sentence: str, code: int) -> int:
    print(sentence, file=sys.stderr)
    return code


def export(words: list[str]) -> int:
    """``benchcalc export DIR``: copy the run log off."""
    from benchcalc.commands.log import export_words

    return export_words(words, state_folder())


def verify(words: list[str]) -> int:
    """``benchcalc verify DIR``: whether a copy is whole."""
    from benchcalc.commands.log import verify_words

    return verify_words(words, state_folder())


def collect(words: list[str]) -> int:
    """``benchcalc collect DIR…``: many copies into one."""
    from benchcalc.commands.log import collect_words

    return collect_words(words)


def springback(words: list[str]) -> int:
    """``benchcalc springback``: what this bench has been taught."""
    from benchcalc.commands.springback import run

    return run(words, state_folder())


def sensor(words: list[str]) -> int:
    """``benchcalc sensor [PORT]``: live readings of an angle sensor, one a line."""
    from benchcalc.commands.sensor import run

    return run(words)


def device(words: list[str]) -> int:
    """``benchcalc device``: what of a bench this machine has."""
    parser = _parser("benchcalc device", "Say what of a bench this machine has, and what it lacks.")
    from benchcalc.commands.device import run

    return run(parser, words, state_folder())


def trial(words: list[str]) -> int:
    """``benchcalc trial BENDER``: a die's true radius and lines from bent offcuts."""
    from benchcalc.commands.trial import run

    return run(words, state_folder())


def words_said(words: list[str]) -> int:
    """``benchcalc words LANGUAGE``: the phrases that a language lacks, for its translator."""
    parser = _parser(
        "benchcalc words",
        "Print the phrases that a language lacks, in English, as a JSON file to translate; with "
        "--take put the translated phrases in.",
    )
    from benchcalc.commands.words import run

    return run(parser, words)


def manual(words: list[str]) -> int:
    """``benchcalc help [TOPIC]``: a page of the manual."""
    parser = _parser("benchcalc help", "Print a page of the manual; without TOPIC, list them.")
    from benchcalc.commands.manual import run

    return run(parser, words)


def restore(words: list[str]) -> int:
    """``benchcalc restore FILE``: a records file that was set aside, back in its place."""
    from benchcalc.commands.restore import run

    return run(words, state_folder())


VERBS: dict[str, Callable[[list[str]], int]] = {
    "help": manual,
    "sheet": sheet,
    "demo": demo,
    "runs": runs,
    "springback": springback,
    "trial": trial,
    "export": export,
    "verify": verify,
    "collect": collect,
    "restore": restore,
    "sensor": sensor,
    "device": device,
    "words": words_said,
}
