"""``benchcalc sensor``: lists, prints, records, replays, and says what is missing."""

import json
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from benchcalc.cli import main
from benchcalc.commands import sensor as sensor_command
from benchcalc.shell.port import Found
from benchcalc.shell.recording import HEAD
from benchcalc.shell.simulator import Simulator, simulated_profile
from tests.house.sources import ROOT
from tests.shell.terminals import held
from tests.shell.test_simulator import FLAWS, SPRINGY

OWN = """\
bench:
  {{speaks: ascii, prefix: "A=", port: {port}, rides: tube, sees: encoder, resolution: 0.01 deg,
   noise: 0.05 deg, source: a test}}
"""


@pytest.fixture(autouse=True)
def config(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    monkeypatch.setenv("BENCHCALC_CONFIG", str(tmp_path))
    return tmp_path


def own(config: Path, port: str) -> None:
    (config / "sensors.yaml").write_text(OWN.format(port=port))


Printed = pytest.CaptureFixture[str]


def test_ports_are_listed(monkeypatch: pytest.MonkeyPatch, capsys: Printed) -> None:
    monkeypatch.setattr(sensor_command, "ports", lambda: [Found("/dev/ttyUSB0", "adapter", "")])
    assert main(["sensor"]) == 0
    assert capsys.readouterr().out == "/dev/ttyUSB0  adapter\n"
    monkeypatch.setattr(sensor_command, "ports", list)
    assert main(["sensor"]) == 0
    assert "No serial port is there" in capsys.readouterr().out


def test_profiles_are_listed(config: Path, capsys: Printed) -> None:
    own(config, "/dev/x")
    assert main(["sensor", "--profiles"]) == 0
    out = capsys.readouterr().out
    lines = {line.split()[0]: line for line in out.splitlines() if line}
    assert " ".join(lines["modbus-tenths"].split()) == "modbus-tenths modbus on the arm, encoder"
    assert lines["bench"].endswith(", /dev/x")
    assert str(config / "sensors.yaml") in lines["written"]


@pytest.mark.parametrize("words", [["/dev/none", "--profile", "bench"], ["--profile", "bench"]])
def test_a_missing_port_is_said_in_a_sentence(
    words: list[str], config: Path, capsys: Printed
) -> None:
    own(config, "/dev/none")
    assert main(["sensor", *words]) == 3
    said = capsys.readouterr()
    assert said.out == "" and said.err.count("\n") == 1
    assert "/dev/none is not there: plug the sensor in" in said.err


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["/dev/none"], "give --profile KEY"),
        (["/dev/none", "--profile", "modbus-tenth"], "did you mean modbus-tenths?"),
        (["/dev/none", "--profile", "zzz"], "no such profile"),
        (["--replay", "/dev/null"], "give --profile KEY"),
    ],
)
def test_bad_usage(words: list[str], says: str, capsys: Printed) -> None:
    assert main(["sensor", *words]) == 2
    assert says in capsys.readouterr().err


def test_bad_profiles_are_told(config: Path, capsys: Printed) -> None:
    (config / "sensors.yaml").write_text("bench: 1\n")
    assert main(["sensor", "--profiles"]) == 2
    assert "sensors.yaml:1: bench" in capsys.readouterr().err


def test_readings_are_printed_recorded_and_replayed(config: Path, capsys: Printed) -> None:
    before = held()
    record = config / "bytes.jsonl"
    with Simulator(simulated_profile(), SPRINGY, FLAWS) as simulator:
        own(config, simulator.port)
        code = main(["sensor", simulator.port, "--record", str(record), "--seconds", "1.5"])
    said = capsys.readouterr()
    lines = said.out.splitlines()
    assert code == 0 and len(lines) >= 20 and " readings, 0 frames refused" in said.err
    assert all(" deg" in line and "+1" in line for line in lines)
    assert 15 < float(lines[-1].split()[-2]) < 25 and lines[-1].endswith(" Hz")
    assert held() == before
    assert main(["sensor", "--profile", "bench", "--replay", str(record)]) == 0
    assert [line.split("deg")[0] for line in capsys.readouterr().out.splitlines()] == [
        line.split("deg")[0] for line in lines
    ]


def test_a_recording_that_is_none(config: Path, capsys: Printed) -> None:
    path = config / "r.jsonl"
    bad = {
        "another file\n": 1,
        json.dumps(HEAD) + '\n{"at_s": 1, "hex": "0g"}\n': 2,
        json.dumps(HEAD) + '\n{"at_s": 2, "hex": ""}\n{"at_s": 1, "hex": ""}\n': 3,
        json.dumps(HEAD) + "\n[1]\n": 2,
    }
    for text, line in bad.items():
        path.write_text(text)
        assert main(["sensor", "--profile", "lines-prefix", "--replay", str(path)]) == 2
        assert f"r.jsonl:{line}: no line of a recording" in capsys.readouterr().err
    assert main(["sensor", "--profile", "lines-prefix", "--replay", str(config / "none")]) == 3
    assert "none: No such file" in capsys.readouterr().err


def test_what_is_refused_is_printed_beside(config: Path, capsys: Printed) -> None:
    path = config / "r.jsonl"
    rows = [HEAD, {"at_s": 1.0, "hex": b"angle 12,5\r\nangle +01.500\r\n".hex()}]
    path.write_text("".join(json.dumps(row) + "\n" for row in rows))
    assert main(["sensor", "--profile", "lines-prefix", "--replay", str(path)]) == 0
    said = capsys.readouterr()
    assert said.out == "     1.000 s     +1.500 deg\n"
    assert "no number after the prefix: angle 12,5" in said.err
    assert "1 readings, 1 frames refused" in said.err


def test_it_stops_when_interrupted(config: Path) -> None:
    with Simulator(simulated_profile(), SPRINGY, FLAWS) as simulator:
        own(config, simulator.port)
        command = [sys.executable, "-m", "benchcalc", "sensor", "--profile", "bench"]
        with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True) as running:
            assert running.stdout is not None and " deg" in running.stdout.readline()
            running.send_signal(signal.SIGINT)
            began_s = time.monotonic()
            assert running.wait(5) == 130 and time.monotonic() - began_s < 3
