"""The guard beside the panel's start: when a new program gives way, and when it must not."""

from pathlib import Path

import pytest

from tests.device.bench_root import BenchRoot

GUARD = "sh /opt/benchcalc/current/systemd/benchcalc-guard"


@pytest.fixture
def bench(tmp_path: Path) -> BenchRoot:
    """A bench that went from ``old`` to ``new``, whose panel is not up yet."""
    bench = BenchRoot(tmp_path / "root")
    for name in ("old", "new"):
        bench.release(name)
        assert bench.install(name).returncode == 0
    on_probation(bench, "a 0")
    (bench.place / "tmp/calls").unlink()
    return bench


def on_probation(bench: BenchRoot, words: str) -> None:
    (bench.place / "opt/benchcalc/probation").write_text(f"{words}\n")


def begun(bench: BenchRoot) -> str:
    said = bench.run(f"{GUARD} begin")
    assert said.returncode == 0, said.stderr
    return said.stderr


def waits(bench: BenchRoot) -> bool:
    return (bench.place / "opt/benchcalc/probation").exists()


def test_the_third_start_is_the_old_ones(bench: BenchRoot) -> None:
    for _ in range(2):
        begun(bench)
        assert waits(bench) and bench.stands() == ("new", "new")
    assert "going back" in begun(bench)
    assert bench.stands() == ("old", "old") and not waits(bench)
    order = [call.split(" [")[0] for call in bench.calls if call.startswith("systemctl")]
    assert order == ["systemctl daemon-reload", "systemctl restart --no-block benchcalc.service"]
    assert begun(bench) == "" and bench.stands() == ("old", "old")


def test_a_panel_that_came_up_stays(bench: BenchRoot) -> None:
    begun(bench)
    assert bench.run(f"{GUARD} up").returncode == 0
    for _ in range(3):
        begun(bench)
    assert bench.stands() == ("new", "new")


def test_whoever_waits_for_the_end_of_the_trial_finds_what_stays(bench: BenchRoot) -> None:
    """The mark is there until the old one is back; asking that one takes a while."""
    asked = bench.place / "stand-ins/runuser"
    asked.write_text("#!/bin/bash\nls /opt/benchcalc/probation >/tmp/seen\n")
    on_probation(bench, "a 2")
    begun(bench)
    assert (bench.place / "tmp/seen").read_text()


@pytest.mark.parametrize(
    "harm",
    [
        "printf '#!/bin/bash\\nexit 3\\n' > /stand-ins/runuser",
        "rm /opt/benchcalc/a/systemd/benchcalc.service",
        "rm -r /opt/benchcalc/a",
    ],
    ids=["it does not take the records", "its units are gone", "it is gone"],
)
def test_there_is_no_way_back_to_what_would_not_start(bench: BenchRoot, harm: str) -> None:
    bench.run(harm)
    on_probation(bench, "a 2")
    assert "not to be gone back to" in begun(bench)
    assert bench.stands() == ("new", "new") and not waits(bench)


@pytest.mark.parametrize("torn", ["", "a", "a x", "c 2", "a 22", "\0\0\0"])
def test_a_torn_mark_keeps_no_panel_from_its_start(bench: BenchRoot, torn: str) -> None:
    on_probation(bench, torn)
    begun(bench)
    assert bench.stands() == ("new", "new")


def test_the_folder_of_the_records_is_made_and_a_file_of_its_name_left_alone(
    bench: BenchRoot,
) -> None:
    state = bench.place / "var/lib/benchcalc"
    begun(bench)
    assert state.stat().st_mode & 0o777 == 0o750
    state.rmdir()
    state.write_text("mine")
    begun(bench)
    assert state.read_text() == "mine"
