"""What the machine lacks, in the status line of every screen and on a screen of its own."""

from dataclasses import replace

import pytest

from benchcalc.panel.state.messages import (
    LookThroughLog,
    MachineLooked,
    NoticesRead,
    StoreRecovered,
)
from benchcalc.panel.state.missing import LogLook, Missing, MissingKind
from benchcalc.panel.state.model import SensorSeen
from benchcalc.panel.update import update, view
from benchcalc.report.told import told, verbatim
from benchcalc.words.language import say
from tests.panel.driver import Hands
from tests.panel.journeys import BENCH, RUN, ready_to_make

KINDS: tuple[MissingKind, ...] = (
    "inputs", "denied", "voltage", "disk", "clock",
    "stick-other", "stick-locked", "stick-blank", "stick-mixed", "stick-damaged",
)  # fmt: skip


def lacking(hands: Hands, *missing: Missing) -> Hands:
    hands.model, commands = update(hands.model, MachineLooked(missing))
    assert commands == ()
    return hands


@pytest.mark.parametrize("kind", KINDS)
def test_each_is_a_word_in_the_line_and_a_sentence_on_the_screen(kind: MissingKind) -> None:
    hands = lacking(ready_to_make(), Missing(kind, "80 MB"))
    assert say(f"missing.{kind}.word") in hands.text
    hands.tap("machine")
    assert say(f"missing.{kind}", amount="80 MB") in hands.text


def test_it_lies_over_the_work_and_goes_again() -> None:
    hands = lacking(Hands().tap(*BENCH, *RUN).type("12"), Missing("clock"), Missing("disk", "9 MB"))
    before, saved = hands.model, len(hands.saved)
    hands.tap("machine")
    assert say("machine.title") in hands.text
    hands.tap("cancel")
    assert hands.model == before and len(hands.saved) == saved
    hands.tap("machine").key("escape")
    assert hands.model == before


def test_nothing_missing_nothing_said() -> None:
    hands = lacking(lacking(ready_to_make(), Missing("clock")))
    assert hands.scene.target("machine") is None
    assert say("missing.clock.word") not in hands.text


def test_what_ends_while_the_screen_is_open_is_struck_off() -> None:
    hands = lacking(ready_to_make(), Missing("clock")).tap("machine")
    lacking(hands)
    assert say("machine.nothing") in hands.text
    hands.tap("cancel")


def test_the_sensors_trouble_stands_with_the_rest() -> None:
    hands = lacking(ready_to_make(), Missing("clock")).tap("machine")
    assert say("machine.no-sensor") in hands.text
    says = "/dev/benchcalc-sensor was unplugged: plug the sensor in again."
    assert says in str(view(replace(hands.model, sensor=SensorSeen(trouble=verbatim(says)))))


ASIDE = told("notice.set-aside", name="records.damaged-1.db", carried="9", lost="4")
LOST = told("notice.lost", first="5", last="7")


def test_what_happened_to_the_log_is_said_until_it_is_pressed_away() -> None:
    hands = ready_to_make()
    hands.model = replace(hands.model, notices=(ASIDE, LOST))
    hands.model, _ = update(hands.model, StoreRecovered())  # no word of the store's takes it away
    assert say("missing.log.word") in hands.text
    hands.tap("machine")
    assert ASIDE.shown in hands.text and LOST.shown in hands.text
    hands.tap("understood")
    assert hands.asked[-1] == NoticesRead()
    assert hands.model.notices == () and hands.scene.target("machine") is None


def test_damage_in_the_log_is_said_as_long_as_it_is_there() -> None:
    hands = ready_to_make()
    hands.model, _ = update(hands.model, LogLook(None, 40, "5, 17 to 19"))
    assert say("missing.log.word") in hands.text
    hands.tap("machine")
    assert say("log.damaged", numbers="5, 17 to 19") in hands.text
    hands.tap("cancel")
    assert say("missing.log.word") in hands.text
    hands.model, _ = update(hands.model, LogLook(None, 41))
    assert hands.scene.target("machine") is None


def test_the_log_is_looked_through_on_demand_from_the_settings() -> None:
    hands = Hands().tap("settings")
    while hands.scene.target("machine") is None:
        hands.tap("more")
    hands.tap("machine", "look through")
    assert hands.asked[-1] == LookThroughLog()
    assert say("log.looking", percent="0") in hands.text
    assert hands.scene.target("look through") is None
    hands.model, _ = update(hands.model, LogLook(None, 41))
    assert say("log.whole", count=41) in hands.text


def test_the_key_that_signs_is_shown_and_one_that_cannot_is_said() -> None:
    hands = lacking(ready_to_make(), Missing("clock"))
    hands.model = replace(hands.model, key="3f2a-91bc-0d44-e7a1-55c0")
    hands.tap("machine")
    assert say("machine.key", fingerprint="3f2a-91bc-0d44-e7a1-55c0") in hands.text
    hands.model = replace(hands.model, key=None)
    assert say("machine.key-wrong") in hands.text
    hands.model = replace(hands.model, key="")
    assert say("machine.key-wrong") not in hands.text
