"""``benchcalc device`` on machines laid out in folders, and on this one."""

from pathlib import Path

import pytest

from benchcalc.cli import main
from benchcalc.commands.device import MachineItem, Roots, lines
from benchcalc.shell import clock


@pytest.fixture
def roots(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Roots:
    """A bench that has everything, as the kernel would show it."""
    made = Roots(tmp_path / "dev", tmp_path / "sys")
    for name, text in {
        "sys/class/drm/card1-HDMI-A-1/status": "disconnected\n",
        "sys/class/drm/card1-DSI-1/status": "connected\n",
        "sys/class/drm/card1-DSI-1/modes": "800x480\n800x480i\n",
        "sys/class/input/event2/device/name": "panel 7 inch\n",
        "sys/class/hwmon/hwmon2/name": "rpi_volt\n",
        "sys/class/hwmon/hwmon2/in0_lcrit_alarm": "0\n",
        "dev/input/event2": "",
        "dev/ttyUSB0": "",
        "synchronized": "",
    }.items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text)
    (made.dev / "benchcalc-touch").symlink_to("input/event2")
    (made.dev / "benchcalc-sensor").symlink_to("ttyUSB0")
    monkeypatch.setattr(clock, "SYNCHRONISED", tmp_path / "synchronized")
    return made


def told(roots: Roots) -> dict[str, MachineItem]:
    return {line.what: line for line in lines(roots, roots.dev)}


def test_everything_is_named(roots: Roots) -> None:
    found = told(roots)
    assert found["screen"] == MachineItem("screen", "card1-DSI-1, 800x480")
    assert found["touch"] == MachineItem("touch", "panel 7 inch")
    assert found["sensor"].says.endswith("benchcalc-sensor is ttyUSB0")
    assert found["supply"] == MachineItem("supply", "steady")
    assert found["clock"].says.startswith("set")
    assert not any(line.wanting for line in found.values())


def test_the_disk_is_that_of_the_bench_for_whoever_has_no_records(roots: Roots) -> None:
    mine, bench = roots.dev / "mine", roots.dev / "bench"
    bench.mkdir()
    on_a_bench = roots._replace(bench=bench)
    assert list(lines(on_a_bench, mine))[-2].says.endswith(f"free for {bench}")
    mine.mkdir()
    assert list(lines(on_a_bench, mine))[-2].says.endswith(f"free for {mine}")


def test_no_screen(roots: Roots) -> None:
    (roots.sys / "class/drm/card1-DSI-1/status").write_text("disconnected\n")
    assert "none connected" in told(roots)["screen"].says
    (roots.dev / "fb1").touch()
    assert "frame buffer" in told(roots)["screen"].says
    assert told(roots)["screen"].wanting


def test_no_touch_and_no_sensor(roots: Roots) -> None:
    (roots.dev / "benchcalc-touch").unlink()
    (roots.dev / "benchcalc-sensor").unlink()
    assert told(roots)["touch"].says == "no touch screen; mice, keyboards and such: 1"
    assert not told(roots)["sensor"].wanting
    (roots.dev / "input/event2").unlink()
    assert "nothing is plugged in" in told(roots)["touch"].says
    assert told(roots)["touch"].wanting


def test_low_voltage_and_a_clock_not_set(roots: Roots) -> None:
    (roots.sys / "class/hwmon/hwmon2/in0_lcrit_alarm").write_text("1\n")
    clock.SYNCHRONISED.unlink()
    found = told(roots)
    assert found["supply"].wanting and "stronger" in found["supply"].says
    assert "not set" in found["clock"].says


def test_sticks_that_are_not_taken(roots: Roots, tmp_path: Path) -> None:
    refused = tmp_path / "refused"
    refused.mkdir()
    for name, why in (("sda1", "other ext4"), ("sdb", "locked"), ("sdc", "blank")):
        (refused / name).write_text(f"{why}\n")
    says = [line.says for line in lines(roots._replace(refused=refused), roots.dev) if line.wanting]
    assert [one.partition(":")[0] for one in says] == [
        "sda1 holds ext4", "sdb is encrypted", "sdc holds nothing that can be read",
    ]  # fmt: skip


def test_on_this_machine(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["device"]) in (0, 1)
    said = capsys.readouterr().out
    for what in ("screen", "touch", "sensor", "sticks", "supply", "disk", "clock"):
        assert f" {what}" in said
