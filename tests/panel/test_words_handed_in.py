"""Words are made when a screen is drawn, of the language and units that are set, and never before.

A change of either in the middle of a piece changes every word and nothing else.
"""

from contextvars import ContextVar
from dataclasses import replace

import pytest

from benchcalc.panel.state.messages import (
    CopyFailed,
    MachineLooked,
    Pressed,
    Released,
    SomethingBroke,
    StoreFailed,
    ZeroTaken,
)
from benchcalc.panel.state.missing import Missing
from benchcalc.panel.state.model import Model, SensorSeen
from benchcalc.panel.update import update, view
from benchcalc.report import units_shown
from benchcalc.report.scene import scene_text
from benchcalc.report.told import told
from benchcalc.words import language
from benchcalc.words.language import say, speaking
from tests.panel.driver import Hands
from tests.panel.journeys import JOB, SHOP, TRIAL, ready_to_make, typed
from tests.panel.test_restart import LONG_JOB
from tests.screens.states import state

FULL = told("trouble.settings", problem="disk full")
OTHER = {"language": "de", "units": "fraction"}


@pytest.fixture
def strict(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing is said, nor a length shown, where nobody handed in how: it fails."""
    monkeypatch.setattr(language, "_SPOKEN", ContextVar("spoken"))
    monkeypatch.setattr(units_shown, "_SHOWN", ContextVar("shown"))
    with pytest.raises(LookupError):
        say("back")


@pytest.mark.usefixtures("strict")
@pytest.mark.parametrize("taps", [JOB, LONG_JOB, (*TRIAL, *typed("193.8", "next"))])
def test_no_act_makes_a_word(taps: tuple[str, ...]) -> None:
    hands = Hands()
    for tap in taps:
        hands.tap(tap)
        hands.key("x", "help", "escape")


DRAWN = (
    "shape offset", "plan ports", "settings", "learnt", "copy two sticks", "piece", "trial results",
    "make aim", "make correct", "plan findings", "pick bender", "bench put aside", "machine",
)  # fmt: skip


@pytest.mark.parametrize("name", DRAWN)
def test_no_key_of_a_screen_makes_a_word(name: str, request: pytest.FixtureRequest) -> None:
    shown = state(name, (800, 480))
    request.getfixturevalue("strict")
    for target in view(shown).targets:
        held, _ = update(shown, Pressed(target))
        update(held, Released(target))


@pytest.mark.usefixtures("strict")
def test_no_news_makes_a_word() -> None:
    hands = ready_to_make()
    for news in (ZeroTaken(False), StoreFailed(FULL), SomethingBroke(), CopyFailed(FULL)):
        hands.hear(news)


def in_other(model: Model) -> Model:
    """The same in another language and other units."""
    return replace(model, settings=replace(model.settings, **OTHER))  # type: ignore[arg-type]


def german(phrase: str, **values: object) -> str:
    with speaking("de"):
        return say(phrase, **values)


def test_the_trouble_line_the_notices_and_the_badge_change_with_the_language() -> None:
    """Each was once a sentence of the language that was set when it came up."""
    hands = ready_to_make().tap(*["next"] * 5).hear(MachineLooked((Missing("clock"),)))
    badge = in_other(hands.model)
    assert german("missing.clock.word") in scene_text(view(badge))
    for news, phrase in ((SomethingBroke(), "trouble.broke"), (StoreFailed(FULL), FULL.phrase)):
        model, _ = update(hands.model, news)
        said = in_other(model)
        wanted = german(phrase, **dict(FULL.values))
        lines = " ".join(scene_text(view(replace(said, size=(1920, 1080)))).split())
        assert wanted in lines, lines
        assert replace(said, settings=model.settings) == model
    notice = told("notice.set-aside", name="a.db", carried="2", lost="7")
    noticed = replace(hands.model, notices=(notice,), trouble=(notice,))
    lines = scene_text(view(replace(in_other(noticed), size=(1920, 1080))))
    assert german("notice.set-aside", name="a.db", carried="2", lost="7") in lines


def test_what_broke_is_cleared_in_any_language() -> None:
    """In the old language it stood for good: it was looked for by its words."""
    hands = ready_to_make().hear(SomethingBroke())
    hands.model = in_other(hands.model)
    assert hands.tap("next").model.trouble == ()


@pytest.mark.parametrize("taps", [JOB, LONG_JOB])
def test_the_language_changed_at_any_tap_changes_no_state(taps: tuple[str, ...]) -> None:
    """One panel stays as it was set, the other is set anew before every tap; all else is equal."""
    plain, turned = Hands(), Hands()
    for number, tap in enumerate(taps):
        turned.model = in_other(turned.model) if number % 2 else with_settings_of(turned, plain)
        plain.tap(tap)
        turned.tap(tap)
        assert with_settings_of(turned, plain) == plain.model, f"tap {number}, {tap}"
    assert (turned.log, turned.saved) == (plain.log, plain.saved)


def with_settings_of(hands: Hands, other: Hands) -> Model:
    return replace(hands.model, settings=other.model.settings)


def test_the_sensors_trouble_speaks_the_language_that_is_set() -> None:
    silent = told("sensor.silent", seconds="4")
    hands = Hands(replace(Model(SHOP), sensor=SensorSeen(trouble=silent))).tap(
        "settings", "machine"
    )
    assert german("sensor.silent", seconds="4") in " ".join(
        scene_text(view(replace(in_other(hands.model), size=(1920, 1080)))).split()
    )


def test_units_set_in_the_middle_of_a_piece_change_every_length_shown() -> None:
    """From decimals of an inch to fractions, on the cut; the piece and what is typed stay."""
    decimals = state("make cut fraction", (1280, 800))
    decimals = replace(decimals, settings=replace(decimals.settings, units="in"))
    hands = Hands(decimals).tap("help", "cancel")
    before, text = hands.work, hands.text
    assert '"' in text or " in" in text
    hands.model = replace(hands.model, settings=replace(hands.model.settings, units="fraction"))
    changed = [one for one in zip(text.split("\n"), hands.text.split("\n"), strict=True)
               if one[0] != one[1]]  # fmt: skip
    assert changed and all("/" in now for _, now in changed), changed
    assert hands.work == before
    hands.model = replace(hands.model, settings=replace(hands.model.settings, units="in"))
    assert hands.text == text
