"""Shells complete commands and options by the script that ``benchcalc completions`` prints."""

import shutil
import subprocess
from collections.abc import Callable
from functools import partial
from pathlib import Path

import pytest

from benchcalc.cli import _OWN, VERBS, command, main, panel
from benchcalc.commands.completions import words_of

Complete = Callable[..., set[str]]

BASH = """source {script}
COMP_WORDS=({words}); COMP_CWORD={place}; _benchcalc
printf '%s\\n' "${{COMPREPLY[@]}}"
"""
ZSH = """autoload -Uz compinit && compinit -u -d {folder}/dump
_describe() {{ print -l ${{verbs%%:*}} }}
_files() {{ }}
_arguments() {{ print -l -- ${{${{@#\\*}}%%\\[*}} }}
words=({words}); CURRENT={place}
source {script}
_benchcalc
"""


@pytest.fixture
def complete(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Complete:
    """What a shell offers after some words, the last of them unfinished."""

    def completed(shell: str, *words: str) -> set[str]:
        if shutil.which(shell) is None:
            pytest.skip(f"no {shell} here")
        assert main(["completions", shell]) == 0
        script = tmp_path / f"script.{shell}"
        script.write_text(capsys.readouterr().out, encoding="utf-8")
        if shell == "fish":
            code = f"source {script}; complete -C 'benchcalc {' '.join(words)}'"
        else:
            quoted = " ".join(f"'{word}'" for word in ("benchcalc", *words))
            place = len(words) + (shell == "zsh")
            pattern = {"bash": BASH, "zsh": ZSH}[shell]
            code = pattern.format(script=script, words=quoted, place=place, folder=tmp_path)
        norc = {"bash": ["--norc"], "zsh": ["-f"], "fish": ["--no-config"]}[shell]
        done = subprocess.run(
            [shell, *norc, "-c", code], cwd=tmp_path, capture_output=True, text=True, timeout=30
        )
        assert done.stderr == "", done.stderr
        return {line.partition("\t")[0] for line in done.stdout.splitlines()}

    return completed


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_a_shell_offers_every_verb_and_every_option(shell: str, complete: Complete) -> None:
    assert complete(shell, "") >= VERBS.keys()
    for verb in ("sheet", "runs", "export"):
        options = {name for word in words_of(partial(command, verb)) for name in word.names}
        assert complete(shell, verb, "--") >= {name for name in options if name[:2] == "--"}


@pytest.mark.parametrize("shell", ["bash", "fish"])
def test_words_that_may_stand_in_a_place_are_offered(shell: str, complete: Complete) -> None:
    assert complete(shell, "help", "sen") == {"sensors"}
    assert complete(shell, "sheet", "--units", "") >= {"mm", "in"}


def test_files_are_offered_by_bash(complete: Complete, tmp_path: Path) -> None:
    (tmp_path / "two words.yaml").touch()
    assert complete("bash", "sheet", "two") == {"two words.yaml"}
    assert complete("bash", "sheet", "--picture", "two") == {"two words.yaml"}


@pytest.mark.parametrize("name", ["panel", *VERBS])
def test_every_verb_has_a_parser_that_is_found_before_it_acts(name: str) -> None:
    verb = panel if name == "panel" else _OWN.get(name, partial(command, name))
    assert any("--help" in word.names for word in words_of(verb))


def test_an_unknown_shell_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["completions", "tcsh"])
    assert ended.value.code == 2 and "'zsh'" in capsys.readouterr().err
