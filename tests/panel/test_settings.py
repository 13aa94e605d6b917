"""Settings on the panel and on the disk."""

import json
from dataclasses import replace
from pathlib import Path

import pytest

from benchcalc.app import begun_with
from benchcalc.panel.state.model import Model
from benchcalc.report.settings import (
    CHOICES,
    SETTINGS,
    WIDTHS,
    Ruled,
    Settings,
    settings_of,
    settings_plain,
)
from benchcalc.report.told import told
from benchcalc.shell.settings_file import NAME, SettingsFile
from tests.panel.driver import Hands
from tests.panel.journeys import SHOP


def test_every_tap_takes_the_next_choice_and_is_kept_at_once() -> None:
    hands = Hands(Model(SHOP)).tap("settings")
    for name in SETTINGS:
        was = getattr(hands.model.settings, name)
        for _ in CHOICES[name]:
            hands.tap(f"set {name}")
            assert hands.kept_settings == settings_plain(hands.model.settings)
        assert getattr(hands.model.settings, name) == was
        assert hands.shown == "settings"
    assert hands.tap("bench").shown == "bench"


def test_a_screen_hung_on_its_side_has_its_sides_exchanged() -> None:
    ruled = Ruled(154.0, 86.0, 800, 480)
    model = replace(Model(SHOP), settings=Settings(ruled=ruled))
    hands = Hands(model).tap("settings", "set rotation")
    assert hands.model.size == hands.scene.size == (480, 800)
    assert hands.model.settings.ruled_mm((480, 800)) == (86.0, 154.0)
    assert hands.model.settings.ruled_mm((800, 480)) is None
    hands.tap("set rotation")
    assert hands.model.size == (800, 480)
    assert hands.model.settings.ruled == ruled


def test_the_left_hand_finds_the_keypad_on_its_side() -> None:
    right = Hands(Model(SHOP)).tap("set pieces")
    left = Hands(replace(Model(SHOP), settings=Settings(hand="left"))).tap("set pieces")
    places = [hands.scene.target("key 7").box.centre[0] for hands in (right, left)]  # type: ignore[union-attr]
    assert places[0] > 400 > places[1]


def test_a_new_job_takes_the_units_that_are_set() -> None:
    model = begun_with(Settings(units="in"), Model(SHOP))
    assert (model.draft.units, model.draft.rows[0].unit) == ("in", "in")


@pytest.mark.parametrize(
    "settings",
    [
        Settings(),
        Settings(
            "de", "night", "left", 270, "in", False, 30, Ruled(100.5, 60, 800, 480), 0.8, 1, 3
        ),
    ],
)
def test_settings_outlive_a_restart(tmp_path: Path, settings: Settings) -> None:
    SettingsFile(tmp_path / "new").keep(settings_plain(settings))
    assert SettingsFile(tmp_path / "new").read() == (settings, None)


DAMAGED = [
    b"",
    b"{",
    b"[" * 100_000,
    b"\xff\xfe",
    b'{"form": 2, "settings": {}}',
    b'{"form": 1, "settings": {"language": "xx"}}',
    json.dumps(settings_plain(Settings(ruled=Ruled(1, 1, 800, 480)))).encode(),
    json.dumps(settings_plain(Settings(ruled=Ruled(100, 60, 0, 480)))).encode(),
    json.dumps(settings_plain(Settings())).replace('"day"', "7").encode(),
    json.dumps(settings_plain(Settings(mark_mm=1.5))).encode(),
    json.dumps(settings_plain(Settings(turn_deg=0.4))).encode(),
    b'{"form": 1, "settings": 7}',
]


@pytest.mark.parametrize("body", DAMAGED, ids=range(len(DAMAGED)))
def test_a_damaged_file_is_set_aside_and_said(tmp_path: Path, body: bytes) -> None:
    for number in (1, 2):
        (tmp_path / NAME).write_bytes(body)
        settings, says = SettingsFile(tmp_path).read()
        aside = f"panel-settings.damaged-{number}.json"
        assert (settings, says) == (Settings(), told("trouble.settings-aside", name=aside))
        assert (tmp_path / aside).read_bytes() == body
        assert not (tmp_path / NAME).exists()


def test_settings_of_before_the_screen_could_go_dark_are_read() -> None:
    plain = settings_plain(Settings(theme="night"))
    del plain["settings"]["dark_after_min"]
    assert settings_of(plain) == Settings(theme="night", dark_after_min=0)


def test_without_a_file_there_is_nothing_to_say(tmp_path: Path) -> None:
    assert SettingsFile(tmp_path).read() == (Settings(), None)


def test_a_value_out_of_range_is_named() -> None:
    with pytest.raises(ValueError, match="900"):
        settings_of(settings_plain(Settings(ruled=Ruled(900, 60, 800, 480))))


def test_settings_kept_before_there_were_widths_have_the_usual_ones() -> None:
    plain = settings_plain(Settings(language="de"))
    for name in WIDTHS:
        del plain["settings"][name]
    assert settings_of(plain) == Settings(language="de")


def test_every_tap_on_a_width_takes_the_next_and_is_kept_at_once() -> None:
    hands = Hands(Model(SHOP)).tap("settings", "widths")
    for name in WIDTHS:
        was = getattr(hands.model.settings, name)
        for _ in CHOICES[name]:
            hands.tap(f"set {name}")
            assert hands.kept_settings == settings_plain(hands.model.settings)
        assert getattr(hands.model.settings, name) == was
    assert hands.tap("settings").shown == "settings"


def test_a_width_between_two_choices_goes_on_to_the_larger() -> None:
    settings = settings_of(settings_plain(Settings(mark_mm=0.4)))
    assert settings.with_next("mark_mm").mark_mm == 0.5


def test_a_mark_is_shown_in_the_units_that_are_set() -> None:
    hands = Hands(replace(Model(SHOP), settings=Settings(units="in"))).tap("settings", "widths")
    assert "± 0.020 in" in hands.text


def test_a_look_at_damaged_settings_leaves_them_where_they_are(tmp_path: Path) -> None:
    (tmp_path / NAME).write_bytes(b"{")
    assert SettingsFile(tmp_path).seen() == Settings()
    assert (tmp_path / NAME).read_bytes() == b"{"
