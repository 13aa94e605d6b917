"""Another order of bending, looked for from what the tube meets, and taken or left."""

import json
from dataclasses import replace
from pathlib import Path
from threading import Event

import pytest

from benchcalc.cli import main
from benchcalc.panel.state.in_hand import work_in_hand
from benchcalc.panel.state.messages import FindOrder, OrderFound
from benchcalc.shell import order_search
from benchcalc.shell.order_search import OrderSearch, searched
from tests.panel.driver import Hands
from tests.screens.clash_states import clash, over_the_bench


def meets(hands: Hands) -> list[str]:
    sheet = work_in_hand(hands.model).sheet
    assert sheet is not None
    return [finding.rule for finding in sheet.findings if finding.rule == "clash-bender"]


def asked() -> tuple[Hands, FindOrder]:
    hands = clash(over_the_bench(), (800, 480), "order find")
    return hands, hands.searches[-1]


def test_the_order_found_is_taken_and_meets_nothing() -> None:
    hands, command = asked()
    assert "Looking for" in hands.text and meets(hands) == ["clash-bender"]
    hands.hear(searched(command))
    assert "bend 1 (flagged end free), bend 2" in hands.text
    hands.tap("order take")
    assert meets(hands) == [] and "Nothing is met" in hands.text
    assert [row.held for row in hands.model.draft.rows] == ["far", "far", None]
    again = hands.restart()
    assert meets(again) == []


def test_it_may_be_left() -> None:
    hands, command = asked()
    hands.hear(searched(command)).tap("findings")
    assert meets(hands) == ["clash-bender"] and hands.model.order_sought is None


def test_an_answer_to_another_run_says_nothing() -> None:
    hands, command = asked()
    other = OrderFound(replace(command.job, name="another"), (1, 2), ("far", "far"))
    assert "Looking for" in hands.hear(other).text


def test_a_search_runs_beside_the_loop_and_answers_once() -> None:
    _, command = asked()
    search = OrderSearch()
    assert search.look() is None and not search.busy
    search.begin(command)
    found = None
    while found is None:
        found = search.look()
    assert found == searched(command) and not search.busy and search.look() is None


def test_a_search_asked_for_anew_makes_the_old_one_idle(monkeypatch: pytest.MonkeyPatch) -> None:
    _, command = asked()
    other = FindOrder(replace(command.job, name="another"), command.springback)
    go = Event()

    def slow(asked: FindOrder) -> OrderFound:
        go.wait(5)
        return OrderFound(asked.job)

    monkeypatch.setattr(order_search, "searched", slow)
    search = OrderSearch()
    search.begin(command)
    search.begin(other)
    go.set()
    found = None
    while found is None:
        found = search.look()
    assert found.job.name == "another"


def test_a_fault_of_ours_is_no_order(monkeypatch: pytest.MonkeyPatch) -> None:
    _, command = asked()
    monkeypatch.setattr(order_search, "best_order", lambda *given: 1 / 0)
    search = OrderSearch()
    search.begin(command)
    found = None
    while found is None:
        found = search.look()
    assert found == OrderFound(command.job)


JOB = """
benchcalc: 1
name: hangs over the bench
tube: {od: 6, wall: 1, material: 316}
bender:
  od: 6
  radius: 15
  max_angle: 185
  walls: {any: [0.5, 1.5]}
  grip: 20
  free: 20
  between: 5
  lines: {start: 0, "45": 6.2, "90": 15}
  envelope: {bench: {faces: [0, 0, 1], at: -90}}
  source: bench 2
run:
  - {leg: 200, bend: 90}
  - {leg: 120, bend: 90, turn: 90}
  - {leg: 100}
"""


def test_the_sheet_names_the_order(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job = tmp_path / "job.yaml"
    job.write_text(JOB)
    assert main(["sheet", str(job), "--json"]) == 1
    (told,) = [
        finding
        for finding in json.loads(capsys.readouterr().out)["findings"]
        if finding["rule"] == "clash-bender"
    ]
    assert told["values"]["order"] == "1, 2" and told["values"]["held"] == "far, far"
    assert "This way meets nothing: bend 1 (flagged end free), bend 2." in told["says"]
