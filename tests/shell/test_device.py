"""What a machine lacks, seen in real folders laid out as the kernel lays them out."""

import os
from pathlib import Path

import pytest

from benchcalc.panel.state.messages import MachineLooked
from benchcalc.panel.state.missing import Missing
from benchcalc.runlog.store import Store
from benchcalc.shell import clock
from benchcalc.shell.device import LEAST_FREE_BYTES, LOOK_S, Device, MachinePlaces, free_bytes
from tests.crash.session import new_loop
from tests.shell.test_loop_faults import Quits


@pytest.fixture
def places(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> MachinePlaces:
    """A machine that lacks nothing."""
    made = MachinePlaces(
        tmp_path / "input", tmp_path / "hwmon", tmp_path / "can", tmp_path / "refused"
    )
    for folder in (made.inputs, made.hwmon / "hwmon0", made.hwmon / "hwmon1"):
        folder.mkdir(parents=True)
    (made.inputs / "event0").touch()
    (made.hwmon / "hwmon1/name").write_text("rpi_volt\n")
    (made.hwmon / "hwmon1/in0_lcrit_alarm").write_text("0\n")
    (tmp_path / "synchronized").touch()
    monkeypatch.setattr(clock, "SYNCHRONISED", tmp_path / "synchronized")
    return made


def missing(places: MachinePlaces, bare: bool = True) -> list[Missing]:
    return list(Device(places.inputs.parent, bare, places).missing())


def test_nothing_is_missing(places: MachinePlaces) -> None:
    assert missing(places) == []


def test_no_input_device(places: MachinePlaces) -> None:
    (places.inputs / "event0").unlink()
    (places.inputs / "mice").touch()
    assert missing(places) == [Missing("inputs")]
    assert missing(places, bare=False) == [], "a desktop reads them for us"


# Keys that a device has, as the kernel prints them: of a keyboard from memory, the others made of
# the key codes named beside them.
KEYBOARD = "402000000 3803078f800d001 feffffdfffefffff fffffffffffffffe"
TOUCH_SCREEN = "400 0 0 0 0 0"  # BTN_TOUCH
POWER_BUTTON = "10000000000000 0"  # KEY_POWER, 116
REMOTE = "1000 10000000"  # KEY_ENTER, 28


@pytest.mark.parametrize(
    ("keys", "bus", "presses"),
    [
        (KEYBOARD, "0003", True),
        (TOUCH_SCREEN, "0018", True),
        ("70000 0 0 0 0", "0003", True),  # BTN_LEFT, BTN_RIGHT, BTN_MIDDLE
        ("100000000 0", "0003", True),  # KEY_KPENTER, 96
        (POWER_BUTTON, "0019", False),
        (REMOTE, "001e", False),
        ("0", "0000", False),  # a plug that feels whether it is in
    ],
)
def test_what_can_press_no_key_is_no_input(
    places: MachinePlaces, keys: str, bus: str, presses: bool
) -> None:
    device = places.inputs_can / "event0/device"
    for name, text in (("capabilities/key", keys), ("id/bustype", bus)):
        (device / name).parent.mkdir(parents=True, exist_ok=True)
        (device / name).write_text(f"{text}\n")
    assert missing(places) == ([] if presses else [Missing("inputs")])


def test_no_input_device_that_may_be_read(places: MachinePlaces) -> None:
    """Tried as another user, for root may read everything."""
    (places.inputs / "event0").chmod(0)
    if os.geteuid() != 0:
        assert missing(places) == [Missing("denied")]
        return
    for folder in (places.inputs, *list(places.inputs.parents)[:4]):
        folder.chmod(0o755)
    reader, writer = os.pipe()
    if (child := os.fork()) == 0:
        os.setresuid(65534, 65534, 65534)
        os.write(writer, repr(missing(places)).encode())
        os._exit(0)
    os.waitpid(child, 0)
    assert os.read(reader, 1000).decode() == repr([Missing("denied")])


def test_low_voltage(places: MachinePlaces) -> None:
    (places.hwmon / "hwmon1/in0_lcrit_alarm").write_text("1\n")
    assert missing(places) == missing(places, bare=False) == [Missing("voltage")]


def test_a_chip_that_tells_nothing_is_no_alarm(places: MachinePlaces) -> None:
    (places.hwmon / "hwmon1/in0_lcrit_alarm").unlink()
    assert missing(places) == []


def test_disk_nearly_full(places: MachinePlaces, monkeypatch: pytest.MonkeyPatch) -> None:
    free = free_bytes(places.inputs)
    assert free is not None and free > LEAST_FREE_BYTES
    monkeypatch.setattr("benchcalc.shell.device.LEAST_FREE_BYTES", free * 2)
    (found,) = missing(places)
    assert found.kind == "disk" and found.amount.endswith(" MB")
    assert float(found.amount.removesuffix(" MB")) == pytest.approx(free / 1e6, rel=0.05)
    assert free_bytes(places.inputs / "nowhere") is None


@pytest.mark.parametrize(
    ("written", "found"),
    [
        ("other ext4", Missing("stick-other", "ext4")),
        ("locked", Missing("stick-locked")),
        ("blank", Missing("stick-blank")),
        ("mixed", Missing("stick-mixed")),
        ("damaged", Missing("stick-damaged")),
        ("later words", Missing("stick-damaged", "words")),
    ],
)
def test_a_stick_that_is_not_taken(places: MachinePlaces, written: str, found: Missing) -> None:
    places.refused.mkdir()
    (places.refused / "sda1").write_text(f"{written}\n")
    (places.refused / ".sda2").write_text("half wri")
    assert missing(places) == [found]
    (places.refused / "sda1").unlink()
    assert missing(places) == []


def test_clock_that_nobody_set(places: MachinePlaces) -> None:
    clock.SYNCHRONISED.unlink()
    assert missing(places) == [Missing("clock")]
    assert missing(places, bare=False) == []


def test_it_is_told_when_it_changes_and_looked_for_now_and_then(places: MachinePlaces) -> None:
    device = Device(places.inputs, True, places)
    assert device.look(0.0) == []
    (places.inputs / "event0").unlink()
    assert device.look(LOOK_S * 0.9) == []
    assert device.look(LOOK_S) == [MachineLooked((Missing("inputs"),))]
    assert device.look(LOOK_S * 2) == []
    (places.inputs / "event7").touch()
    assert device.look(LOOK_S * 3) == [MachineLooked(())]


def test_the_panel_says_what_is_missing_and_leads_to_what_to_do(
    places: MachinePlaces, tmp_path: Path
) -> None:
    (places.hwmon / "hwmon1/in0_lcrit_alarm").write_text("1\n")
    with Store.open(tmp_path / "state", "b") as store:
        loop = new_loop(store)
        loop.window, loop.device = Quits(2), Device(tmp_path, True, places)
        loop.run(rest=lambda _: None)
    assert loop.model.missing == (Missing("voltage"),)
    assert loop.scene.target("machine")
