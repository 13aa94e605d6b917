"""What a reader of a document would find out by doing what it says: does it hold?"""

import os
import re
import subprocess
import sys
from collections.abc import Iterator
from functools import cache
from itertools import zip_longest
from pathlib import Path

import yaml

from benchcalc.cli import VERBS
from benchcalc.files.loading import load_shop
from benchcalc.jobfile.job import parse_job
from benchcalc.jobfile.problems import BadFile
from tests.house.blocks import Block, Line, blocks, lines
from tests.house.sources import ROOT

CHECKED = ("sh", "yaml", "python")
SHOWN = ("text", "json", "ini", "mermaid")
OUTPUT = ("text", "json")
JOB = re.compile(r"^benchcalc: *1\b", re.MULTILINE)
SHOP_FILES = ("benders.yaml", "materials.yaml")
LONGEST_S = 60
COMMAND = 'benchcalc() { "$PYTHON" -m benchcalc "$@"; }\n'


class Reader:
    """Goes through a document in a folder of its own, block by block, and notes what fails."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.config = folder, folder / "config"
        self.config.mkdir()
        (folder / "assets").symlink_to(ROOT / "assets")
        self.problems: list[str] = []
        self.env = os.environ | {
            "PYTHON": sys.executable,
            "PYTHONPATH": str(ROOT),
            "PYTHONIOENCODING": "utf-8",
            "HOME": str(folder),
            "BENCHCALC_CONFIG": str(self.config),
            "BENCHCALC_STATE": str(folder / "state"),
            "SDL_VIDEODRIVER": "dummy",
            "PYGAME_HIDE_SUPPORT_PROMPT": "1",
        }

    def read(self, markdown: str) -> list[str]:
        """What fails, a line each: LINE: what."""
        try:
            found = blocks(markdown)
        except ValueError as error:
            return [str(error)]
        bad = set(_refused_files(found))
        for block, after in zip_longest(found, found[1:]):
            self._read(block, _output_of(block, after), bad)
        return self.problems

    def _read(self, block: Block, output: str | None, bad: set[str]) -> None:
        if block.language == "sh":
            self._shell(block, output)
        elif block.language == "yaml":
            self._yaml(block, bad)
        elif block.language == "python":
            said = self._run([sys.executable, "-c", block.text], block.line, 0)
            self._compare(said, output, block.line)
        elif block.language not in SHOWN:
            known = ", ".join(CHECKED + SHOWN)
            self._note(block.line - 1, f"a fence of {block.language or 'nothing'}: one of {known}")

    def _note(self, line: int, what: str) -> None:
        self.problems.append(f"{line}: {what}")

    def _yaml(self, block: Block, bad: set[str]) -> None:
        name, data = block.file_name, block.text.encode()
        if name:
            ((self.config if name in SHOP_FILES else self.folder) / name).write_bytes(data)
        try:
            shop = load_shop(self.config)
            if JOB.search(block.text) and name not in bad:
                parse_job(data, name or "job", shop)
            elif name not in bad:
                yaml.compose(block.text)
        except (BadFile, yaml.YAMLError) as error:
            self._note(block.line, str(error))

    def _shell(self, block: Block, output: str | None) -> None:
        parsed = subprocess.run(["sh", "-n"], input=block.text, capture_output=True, text=True)
        if parsed.returncode:
            self._note(block.line, parsed.stderr.strip())
            return
        said = ""
        for line in lines(block):
            for what in misused(line):
                self._note(line.number, what)
            if line.runs_anywhere:
                said += self._run(["sh", "-c", COMMAND + _plain(line)], line.number, line.exit)
        if any(line.runs_anywhere for line in lines(block)):
            self._compare(said, output, block.line)

    def _run(self, command: list[str], line: int, code: int) -> str:
        ran = subprocess.run(
            command, cwd=self.folder, env=self.env, stdin=subprocess.DEVNULL, timeout=LONGEST_S,
            stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, encoding="utf-8",
        )  # fmt: skip
        if ran.returncode != code:
            self._note(line, f"exit {ran.returncode}, not {code}: {ran.stdout.strip()}")
        return ran.stdout

    def _compare(self, said: str, output: str | None, line: int) -> None:
        if output is not None and said != output:
            self._note(line, f"prints something else:\n{said}")


def _plain(line: Line) -> str:
    """The line with our command by its name, wherever the document says that it lies."""
    return re.sub(r"(?<!\S)\S*/benchcalc(?=\s|$)", "benchcalc", line.text)


def _output_of(block: Block, after: Block | None) -> str | None:
    """What the document says a block prints: the text that follows with nothing between."""
    if after is None or block.language not in ("sh", "python"):
        return None
    return after.text if after.language in OUTPUT and not after.before else None


def _refused_files(found: list[Block]) -> Iterator[str]:
    """The jobs that the document itself says are refused."""
    for block in found:
        for line in lines(block) if block.language == "sh" else ():
            if line.exit == 2:
                yield from re.findall(r"[\w-]+\.yaml", line.text)


def misused(line: Line) -> Iterator[str]:
    """Verbs and options of ours on a line that there are not."""
    if line.text.startswith("$ "):
        yield "a prompt before the command: leave it out, it would be copied too"
    try:
        ours = line.ours()
    except ValueError as error:
        yield f"{error}: {line.text}"
        return
    for words in ours:
        verb = words[0] if words and words[0] in VERBS else ""
        if words and not verb and not re.match(r"\[|-|[A-Z]+$|.*\.yaml$", words[0]):
            yield f"no such command: benchcalc {words[0]}"
        known = options(verb)
        for option in re.findall(r"(?<![\w-])--[a-z][a-z-]*", " ".join(words)):
            if option not in known:
                yield f"no such option: benchcalc {verb} {option}"


@cache
def options(verb: str) -> frozenset[str]:
    """The long options that a command's own help names; the panel's for no verb."""
    command = [sys.executable, "-m", "benchcalc", *([verb] if verb else []), "--help"]
    asked = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True)
    return frozenset(re.findall(r"--[a-z][a-z-]*", asked.stdout))
