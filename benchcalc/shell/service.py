"""What the service manager is told: that the panel is up, and that its loop still turns.

Source: sd_notify(3) and sd_watchdog_enabled(3), https://www.freedesktop.org/software/systemd/man/
"""

import os
import socket
from collections.abc import Mapping
from contextlib import suppress

PARTS = 4
"""The loop is reported this many times within the time the service manager waits for it."""


class Service:
    """The service manager's ear, or nobody's where there is none.

    Only the loop may call ``alive``: a thread of its own would go on reporting a loop that hangs.
    """

    def __init__(self, socket_name: str, watchdog_s: float | None) -> None:
        self._name = socket_name
        self._every_s = None if watchdog_s is None else watchdog_s / PARTS
        self._told_s: float | None = None

    @classmethod
    def of_environment(cls, environment: Mapping[str, str] = os.environ) -> "Service":
        """As the environment says; a watchdog that was meant for another process is not fed."""
        meant_for = environment.get("WATCHDOG_PID", str(os.getpid()))
        wait_us = environment.get("WATCHDOG_USEC", "")
        asked = wait_us.isascii() and wait_us.isdigit() and int(wait_us) > 0
        watchdog_s = int(wait_us) / 1e6 if asked and meant_for == str(os.getpid()) else None
        return cls(environment.get("NOTIFY_SOCKET", ""), watchdog_s)

    @property
    def present(self) -> bool:
        """Whether a service manager started this process and listens."""
        return bool(self._name)

    def ready(self) -> None:
        """The first frame is on the screen."""
        self._tell("READY=1")

    def stopping(self) -> None:
        """The panel was asked to close and does."""
        self._tell("STOPPING=1")

    def alive(self, at_s: float) -> None:
        """The loop came round at ``at_s``; told only now and then, as often as is needed."""
        if self._every_s is None:
            return
        if self._told_s is None or at_s - self._told_s >= self._every_s:
            self._told_s = at_s
            self._tell("WATCHDOG=1")

    def _tell(self, words: str) -> None:
        """A name that begins with @ is one without a file. A deaf manager stops no panel."""
        if not self._name:
            return
        address = "\0" + self._name[1:] if self._name.startswith("@") else self._name
        with suppress(OSError), socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM) as ear:
            ear.setblocking(False)
            ear.sendto(words.encode(), address)
