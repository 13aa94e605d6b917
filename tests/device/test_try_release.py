"""The trial of a new program on a copy of the records: what passes, and what must not."""

import os
import resource
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from benchcalc.runlog.store import Store
from tests.device import figures, steps
from tests.device.dry_machine import dry_rehearsal
from tests.house.sources import ROOT

TRIAL = ROOT / "systemd/try_release.py"
PYTHON = Path(sys.executable)


@pytest.fixture(scope="module")
def two_pieces(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Records of two pieces, made at the panel, and closed."""
    state = tmp_path_factory.mktemp("bench") / "state"
    r = dry_rehearsal(state)
    steps.job(r)
    r.person.tap("bench")
    figures.bend_writes(r)
    r.machine.pull_plug()
    return state


@pytest.fixture
def state(two_pieces: Path, tmp_path: Path) -> Path:
    """A copy of them to spoil."""
    return Path(shutil.copytree(two_pieces, tmp_path / "state"))


def tried(
    state: Path, *words: str, python: Path = PYTHON, before: Callable[[], None] | None = None
) -> subprocess.CompletedProcess[str]:
    """The trial as the install runs it."""
    folder = state.parent / "trial"
    folder.mkdir()
    return subprocess.run(
        [str(python), "-I", str(TRIAL), str(state), str(state.parent / "config"), str(folder),
         *words],
        capture_output=True, text=True, preexec_fn=before, env={"PATH": os.defpath},
    )  # fmt: skip


def program(folder: Path, script: str) -> Path:
    """A Python with a program of this name beside it, as in a venv."""
    folder.mkdir()
    (folder / "python").symlink_to(PYTHON)
    (folder / "benchcalc").write_text(f"#!/bin/sh\n{script}\n")
    (folder / "benchcalc").chmod(0o755)
    return folder / "python"


def test_the_panel_at_work_goes_on_meanwhile(state: Path) -> None:
    """What it has stored this moment counts; nothing of it is touched."""
    with Store.open(state, "boot") as store:
        last = next(iter(store.records("piece")))
        store.append("piece", last.body, "2031-05-01T10:00:00+00:00", True)
        before = {path.name: path.read_bytes() for path in state.iterdir()}
        said = tried(state)
        assert said.returncode == 0, said.stderr
        assert "3 pieces" in said.stdout
        after = {path.name: path.read_bytes() for path in state.iterdir()}
        assert {name for name in after if after[name] != before.get(name)} <= {"records.db-shm"}
        store.append("piece", last.body, "2031-05-01T10:00:00+00:00", True)


def write_over(database: Path, count: int) -> None:
    database.write_bytes(os.urandom(count))


DAMAGE: dict[str, Callable[[Path], object]] = {
    "random": lambda path: write_over(path, 20_000),
    "half": lambda path: os.truncate(path, path.stat().st_size // 2),
    "cut within a page": lambda path: os.truncate(path, path.stat().st_size - 700),
    "empty": lambda path: os.truncate(path, 0),
    "altered": lambda path: path.write_bytes(path.read_bytes().replace(b"H4-7", b"H4-8")),
}


@pytest.mark.parametrize("how", DAMAGE)
def test_damaged_records_fail_it_and_stay_as_they_are(state: Path, how: str) -> None:
    DAMAGE[how](state / "records.db")
    before = {path.name: path.read_bytes() for path in state.iterdir()}
    said = tried(state)
    assert (said.returncode, said.stdout) == (1, ""), how
    assert said.stderr.count("\n") == 1 and "start the panel once" in said.stderr, said.stderr
    assert before.items() <= {p.name: p.read_bytes() for p in state.iterdir()}.items()


@pytest.mark.parametrize("how", DAMAGE)
def test_damage_that_is_known_is_told_and_no_hindrance(state: Path, how: str) -> None:
    DAMAGE[how](state / "records.db")
    said = tried(state, "damaged")
    assert said.returncode == 0, said.stderr
    assert "damaged" in said.stderr


def test_a_file_that_cannot_be_read_whole_is_known_by_its_mark(state: Path) -> None:
    """Records that are gone altogether: the file is whole, but there were more."""
    (state / "records.db").unlink()
    said = tried(state)
    assert said.returncode == 1, said.stdout


def test_no_room_for_the_copy_fails_it(state: Path) -> None:
    def little_room() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (10_000, 10_000))

    said = tried(state, before=little_room)
    assert said.returncode == 1 and "no copy could be made" in said.stderr, said.stderr


@pytest.mark.parametrize(
    ("script", "word"),
    [
        ("echo 'a library is missing' >&2; exit 3", "come up: a library is missing"),
        (f'[ "$1" = runs ] && {{ {PYTHON.parent}/benchcalc "$@" | tail -n 1; exit; }}\n'
         f'exec {PYTHON.parent}/benchcalc "$@"', "of 2 pieces the new program tells of 1"),
        (f'[ "$1" = verify ] && exit 1\nexec {PYTHON.parent}/benchcalc "$@"', "verify"),
    ],
)  # fmt: skip
def test_a_program_that_lacks_something_fails_it(state: Path, script: str, word: str) -> None:
    said = tried(state, python=program(state.parent / "bin", script))
    assert said.returncode == 1 and word in said.stderr, said.stderr


def test_without_records_the_panel_must_come_up_all_the_same(tmp_path: Path) -> None:
    assert tried(tmp_path / "state").returncode == 0
    shutil.rmtree(tmp_path / "trial")
    said = tried(tmp_path / "state", python=program(tmp_path / "bin", "exit 3"))
    assert said.returncode == 1 and "come up" in said.stderr


def test_a_file_in_the_place_of_the_folder_is_for_the_panel_to_tell(tmp_path: Path) -> None:
    (tmp_path / "state").write_text("")
    assert tried(tmp_path / "state").returncode == 0
