"""What a bench was taught, kept in its store: the same from the slot and from the records."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from benchcalc.cli import main
from benchcalc.core.springback.calibration import gain_per_radius
from benchcalc.core.springback.first_guess import bend_to, overbend_spread
from benchcalc.core.springback.learning import Taught, springback_of
from benchcalc.core.springback.lessons import taught_of, taught_plain
from benchcalc.files.loading import asset_path
from benchcalc.panel.state.in_hand import subject_of
from benchcalc.panel.state.messages import AppendRecord, ReadLessons
from benchcalc.runlog.chain import Entry
from benchcalc.runlog.store import Store
from benchcalc.shell.memory import carry_out, read_lessons
from benchcalc.shell.taught import TAUGHT_SLOT, keep_taught, load_taught, refit
from tests.panel.driver import Hands, Kept, same
from tests.panel.journeys import (
    BENT_90,
    JOB,
    TO_FIRST_CHECK,
    TO_SECOND_CHECK,
    demo_draft,
    typed,
    with_draft,
)

DEMO = asset_path("demo.yaml")
WHEN = "2026-01-02T03:04:05+00:00"
AGAIN = (*TO_FIRST_CHECK, *typed("90", "next"), *TO_SECOND_CHECK, *typed("45", "next"), "next")
TAUGHT = (*JOB, "one more", *AGAIN, "bench", "learnt", "bend before", "word", "bench",
          "trial", *BENT_90, "keep")  # fmt: skip


@pytest.fixture(scope="module")
def bench() -> Hands:
    """Two pieces, a word on a bend, and a trial that noted its pull."""
    return Hands().tap(*TAUGHT)


def put(store: Store, log: list[Kept]) -> None:
    for kept in log:
        store.append(kept.kind, kept.body, WHEN, True)


def test_the_slot_and_the_records_after_it_teach_what_all_records_do(
    bench: Hands, tmp_path: Path
) -> None:
    for upto in range(len(bench.log) + 1):
        with Store.open(tmp_path / str(upto), "boot") as store:
            put(store, bench.log[:upto])
            keep_taught(store, load_taught(store))
            put(store, bench.log[upto:])
            assert same(load_taught(store), refit(store))
            assert same(load_taught(store), bench.model.taught)


def test_only_the_records_after_the_slot_are_read(
    bench: Hands, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with Store.open(tmp_path, "boot") as store:
        put(store, bench.log[:-1])
        keep_taught(store, refit(store))
        put(store, bench.log[-1:])
        read: list[int] = []
        records = store.records

        def noted(*words: Any, **named: Any) -> Iterator[Entry]:
            for entry in records(*words, **named):
                read.append(entry.sequence)
                yield entry

        monkeypatch.setattr(store, "records", noted)
        load_taught(store)
        assert read == [len(bench.log)]


def test_what_was_kept_outlives_a_damaged_record_file(bench: Hands, tmp_path: Path) -> None:
    with Store.open(tmp_path / "old", "boot") as store:
        put(store, bench.log)
        keep_taught(store, refit(store))
        kept = store.load_work(TAUGHT_SLOT)
    with Store.open(tmp_path / "new", "boot") as store:
        store.save_work(TAUGHT_SLOT, kept)  # as it is carried into the file that replaces it
        assert same(load_taught(store), bench.model.taught)
        put(store, bench.log[:1])
        twice = load_taught(store)
    about = subject_of(bench.work.draft)
    assert about is not None
    assert twice.lots[about.key] == bench.model.taught.lots[about.key] + 2


@pytest.mark.parametrize(
    "slot",
    [None, 7, [], {}, {"form": 2}, {"form": 1, "upto": 0, "lots": []},
     {"form": 1, "upto": 0, "device": "x", "lots": [{"lot": ""}]},
     {"form": 1, "upto": None, "device": "x", "lots": 3}],
)  # fmt: skip
def test_a_slot_that_cannot_be_read_is_learnt_anew(bench: Hands, slot: Any, tmp_path: Path) -> None:
    with Store.open(tmp_path, "boot") as store:
        put(store, bench.log)
        store.save_work(TAUGHT_SLOT, slot)
        assert same(load_taught(store), bench.model.taught)


def test_lessons_of_a_bench_before_are_learnt_again_from_its_records(
    bench: Hands, tmp_path: Path
) -> None:
    """What was kept then were sums with weights frozen in; its records knew the slope alone."""
    old = json.loads(json.dumps([kept._asdict() for kept in bench.log]))
    for kept in old:
        for told in (kept["body"], *kept["body"].get("lessons", ())):
            if told.get("theory"):
                q = told["theory"]["b"] / 1.2
                told["theory"] = {"a_deg": 0.0, "b": q, "var_a": 0.25, "var_b": (0.27 * q) ** 2}
    with Store.open(tmp_path, "boot") as store:
        put(store, [Kept(**kept) for kept in old])
        evidence = [10.0, 5.0, 3.0, 20.0, 11.0]
        sums = {**taught_plain(bench.model.taught)["lots"][0], "evidence": evidence}
        slot = {"form": 1, "device": store.device, "upto": len(old), "lots": [sums]}
        store.save_work(TAUGHT_SLOT, slot)
        again = load_taught(store)
    assert again.lots == bench.model.taught.lots
    about = subject_of(bench.work.draft)
    assert about is not None
    laws = [springback_of(one, about.key, about.theory) for one in (again, bench.model.taught)]
    assert bend_to(90.0, laws[0]) == pytest.approx(bend_to(90.0, laws[1]), abs=0.05)


def test_what_was_taught_survives_json(bench: Hands) -> None:
    plain = json.loads(json.dumps(taught_plain(bench.model.taught)))
    assert same(taught_of(plain), bench.model.taught)


def test_bends_are_read_as_they_count_now(bench: Hands, tmp_path: Path) -> None:
    key = taught_plain(bench.model.taught)["lots"][0]
    with Store.open(tmp_path, "boot") as store:
        put(store, bench.log)
        lessons = read_lessons(store, ReadLessons(key))
        assert lessons == bench.lessons({k: key[k] for k in key if k != "bends"})
        assert [(lesson.sequence, lesson.bend) for lesson in lessons] == [
            (1, 1), (1, 2), (2, 1), (2, 2), (4, 1),
        ]  # fmt: skip
        assert lessons[2].counted == 0.0 and lessons[-1].bent.loaded_deg == 92.0


def test_a_trial_and_the_work_that_follows_are_stored_together(tmp_path: Path) -> None:
    with Store.open(tmp_path, "boot") as store:
        carry_out(store, AppendRecord("trial", {"lessons": []}, {"work": 1}))
        assert (store.load_work(), store.count("trial")) == ({"work": 1}, 1)
        carry_out(store, AppendRecord("springback-word", {"counts": 1.0}))
        assert store.load_work() == {"work": 1}


@pytest.fixture
def state(bench: Hands, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A bench's folder that the commands find."""
    folder = tmp_path / "state"
    monkeypatch.setenv("BENCHCALC_STATE", str(folder))
    monkeypatch.setenv("BENCHCALC_CONFIG", str(tmp_path / "config"))
    with Store.open(folder, "boot") as store:
        put(store, bench.log)
    return folder


def told(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    assert main(list(words)) == 0
    out, err = capsys.readouterr()
    assert err == ""
    return out


def test_a_sheet_of_this_bench(state: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The demo's tube is of a lot that was never bent, on a bender and a size that were."""
    plain = json.loads(told(capsys, "sheet", str(DEMO), "--json"))
    ours = json.loads(told(capsys, "sheet", str(DEMO), "--bench", "--json"))
    assert {bend["overbend_from"] for bend in plain["bends"]} == {"estimate"}
    assert {bend["overbend_from"] for bend in ours["bends"]} == {"measured"}
    hands = with_draft(demo_draft())
    about = subject_of(hands.work.draft)
    assert about is not None
    with Store.open(state, "boot") as store:
        known = springback_of(refit(store), about.key, about.theory)
    for bend in ours["bends"]:
        assert bend["bend_to"] == pytest.approx(bend_to(bend["angle"], known), abs=1e-9)
        spread = overbend_spread(bend["angle"], known)
        assert bend["overbend_spread"] == pytest.approx(spread, abs=1e-9)
        assert bend["radius"] == pytest.approx(11.2 / gain_per_radius(90.0), abs=1e-9)
    assert ours["cut_length"] != plain["cut_length"]
    text = told(capsys, "sheet", str(DEMO), "--bench")
    assert "measured by 1 trial bend; the die is 25 mm, nominal" in text
    assert "as this bench measured" in text


BESIDE = """benchcalc: 1
name: rack, second tube of the bank
tube: {od: 10, wall: 1, material: 316}
bender: bench-10mm
parallel: {spacing: 30}
run:
  - {leg: 160, bend: 45}
  - {u: {leg: 200, width: 53}}
  - {leg: 160}
"""


def test_a_job_that_this_bench_cannot_draw_is_refused_in_a_sentence(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """With the radius that a trial measured the U is one bend, and one die nests no tube in it."""
    monkeypatch.setenv("BENCHCALC_STATE", str(tmp_path / "state"))
    job = tmp_path / "beside.yaml"
    job.write_text(BESIDE)
    assert main(["trial", "bench-10mm", "--u", "64.2", "--keep"]) == 0
    capsys.readouterr()
    assert main(["sheet", str(job), "--bench"]) == 2
    assert "bend 2 is one bend of 180 with what this bench has learnt" in capsys.readouterr().err
    assert main(["sheet", str(job)]) == 0, "by the file alone the U is two bends of 90"


def test_a_sheet_of_a_bench_without_a_store_is_the_file_s(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("BENCHCALC_STATE", str(tmp_path / "none"))
    assert told(capsys, "sheet", str(DEMO), "--bench") == told(capsys, "sheet", str(DEMO))
    assert "Nothing yet" in told(capsys, "springback")
    assert json.loads(told(capsys, "springback", "--json"))["lots"] == []
    assert not (tmp_path / "none").exists(), "a look must not make anything"


def test_the_table_of_what_was_taught(
    state: Path, bench: Hands, capsys: pytest.CaptureFixture[str]
) -> None:
    head, *rows = told(capsys, "springback").splitlines()
    assert head == "bench-10mm, 10 mm x 1 mm, 316, lot H4-7: bends 5"
    (key,) = bench.model.taught.lots
    about = subject_of(bench.work.draft)
    assert about is not None and about.key == key
    known = springback_of(bench.model.taught, key, about.theory)
    for row, angle in zip(rows, (45, 90, 180), strict=True):
        over, spread = bend_to(angle, known) - angle, overbend_spread(angle, known)
        assert row.split() == [f"{angle}°", "+", f"{over:.2f}°", "±", f"{spread:.2f}°"]


def test_the_table_as_json_and_learnt_anew(
    state: Path, bench: Hands, capsys: pytest.CaptureFixture[str]
) -> None:
    whole = json.loads(told(capsys, "springback", "--json"))
    (lot,) = whole["lots"]
    assert (lot["bender"], lot["lot"], lot["bends"]) == ("bench-10mm", "H4-7", 5)
    assert lot["line"]["source"] == "measured" and 0 < lot["line"]["b"] < 0.1
    assert same(taught_of(whole["state"]), bench.model.taught)
    with Store.open(state, "boot") as store:
        keep_taught(store, Taught())  # a slot that is not what the records say
    assert "Nothing yet" in told(capsys, "springback")
    anew = json.loads(told(capsys, "springback", "--json", "--refit"))
    assert same(taught_of(anew["state"]), bench.model.taught)
