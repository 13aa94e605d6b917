"""``benchcalc learn FROM``: what another bench's export teaches this one."""

from pathlib import Path

import pytest

from benchcalc.cli import main
from benchcalc.core.job import Tube
from benchcalc.core.springback.first_guess import bend_to, first_guess
from benchcalc.core.springback.learning import key_of, springback_of
from benchcalc.core.springback.lessons import BEFORE
from benchcalc.files.loading import load_shop
from benchcalc.panel.state.known.made_before import Before, before_record
from benchcalc.runlog.store import Store
from benchcalc.shell.taught import load_taught

SHOP = load_shop(None)
BENDER, MATERIAL = SHOP.bender("bench-6mm"), SHOP.material("316")
assert BENDER is not None and MATERIAL is not None
TUBE = Tube(6.0, 1.0, "316", "L1")
KEY, GUESS = key_of(TUBE, BENDER), first_guess(TUBE, BENDER, MATERIAL)
NOTED = ((96.0, 90.0), (96.2, 90.1), (48.5, 45.0))


@pytest.fixture
def copy(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The export of a bench where 316 springs back by 6 degrees, twice what is guessed."""
    monkeypatch.setenv("BENCHCALC_CONFIG", str(tmp_path / "config"))
    for name in ("there", "here", "out"):
        (tmp_path / name).mkdir()
    with Store.open(tmp_path / "there", "boot", mend=False) as store:
        record = before_record(Before(NOTED), KEY, GUESS)
        store.append(BEFORE, record, "2026-11-01T10:00:00Z", True)
    at(tmp_path, monkeypatch, "there")
    assert main(["export", str(tmp_path / "out")]) == 0
    at(tmp_path, monkeypatch, "here")
    return next((tmp_path / "out").iterdir())


def at(folder: Path, monkeypatch: pytest.MonkeyPatch, name: str) -> None:
    monkeypatch.setenv("BENCHCALC_STATE", str(folder / name))


def needs(folder: Path) -> float:
    with Store.open(folder, "boot", mend=False) as store:
        return bend_to(90.0, springback_of(load_taught(store), KEY, GUESS)) - 90.0


def test_another_benchs_bends_teach_here_once(
    copy: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["learn", str(copy)]) == 0
    assert "learnt: 3." in capsys.readouterr().out
    assert needs(tmp_path / "here") == pytest.approx(6.0, abs=0.3)
    assert main(["learn", str(copy)]) == 0
    assert "learnt: 0." in capsys.readouterr().out
    assert main(["springback", "--refit"]) == 0
    assert "bends 3" in capsys.readouterr().out


def test_what_it_learnt_here_is_not_learnt_back(
    copy: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["learn", str(copy)]) == 0
    (tmp_path / "back").mkdir()
    assert main(["export", str(tmp_path / "back")]) == 0
    at(tmp_path, monkeypatch, "there")
    assert main(["learn", str(copy)]) == 2
    assert "it knows all that" in capsys.readouterr().err
    assert main(["learn", str(next((tmp_path / "back").iterdir()))]) == 0
    assert "learnt: 0." in capsys.readouterr().out


def test_another_die_under_the_same_name_teaches_nothing(
    copy: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "config").mkdir()
    (tmp_path / "config" / "benders.yaml").write_text(
        "bench-6mm:\n  od: 6 mm\n  radius: 18 mm\n  max_angle: 190 deg\n"
        "  lines: {start: 0 mm}\n  source: mine\n"
    )
    assert main(["learn", str(copy)]) == 1
    assert "Left out: 3 bends on bench-6mm: its die" in capsys.readouterr().out


def test_an_export_that_was_changed_or_is_none_is_refused(
    copy: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    told = copy / "springback.json"
    told.write_text(told.read_text().replace("96.2", "99.2"))
    assert main(["learn", str(copy)]) == 2
    assert "is not whole" in capsys.readouterr().err
    assert main(["learn", str(tmp_path / "here")]) == 2
    assert main(["learn", str(tmp_path / "nowhere")]) == 2
    assert needs(tmp_path / "here") == pytest.approx(bend_to(90.0, GUESS) - 90.0)
