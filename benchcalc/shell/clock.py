"""Time and boot: what orders records, and how far the wall clock may be believed."""

import time
from datetime import UTC, datetime
from functools import cache
from pathlib import Path
from uuid import uuid4

from benchcalc.runlog.chain import day_of

BOOT_ID = Path("/proc/sys/kernel/random/boot_id")
SYNCHRONISED = Path("/run/systemd/timesync/synchronized")
"""Made by the system's time service once the clock has been set from outside since boot."""


def now_s() -> float:
    """Seconds that only go forward; where they start says nothing."""
    return time.monotonic()


def wall_time() -> str:
    """The wall clock in UTC, a remark and no order: a bench computer has no clock battery."""
    return datetime.now(UTC).isoformat(timespec="seconds")


def today() -> str:
    """The day by now, as records of this moment have it."""
    return day_of(wall_time(), clock_trusted(), boot_id())


def clock_trusted() -> bool:
    """Whether the wall clock has been set from outside since this machine started."""
    return SYNCHRONISED.exists()


def boot_id() -> str:
    """What tells this start of the machine from every other; asked for once."""
    return _boot_id(BOOT_ID)


@cache
def _boot_id(path: Path) -> str:
    try:
        return path.read_text(encoding="ascii").strip()
    except OSError:
        return str(uuid4())
