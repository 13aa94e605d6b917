"""A serial port and the one thread that owns it. The only file that imports serial.

The thread moves bytes and parses none: what arrives goes into a bounded queue with its time, what
is to be sent comes from another. It never flushes, waits only for short times, and when the port
fails it closes it, waits, and opens it again, under another name if the adapter came back as one.
"""

import errno
import termios
import threading
import time
from collections import deque
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, Literal, NamedTuple

import serial
from serial.tools import list_ports

from benchcalc.sensor.profile import WIRES, SensorProfile, SerialLine

READ_S = 0.05
WRITE_S = 0.2
FIRST_WAIT_S, LONGEST_WAIT_S = 0.5, 5.0
MOST_AT_ONCE = 4096
MOST_QUEUED = 16 * 1024
"""Bytes waiting to be looked at; older ones give way, so that the newest reading is never late."""

_PARITY = {"none": serial.PARITY_NONE, "even": serial.PARITY_EVEN, "odd": serial.PARITY_ODD}

FAILURES = (OSError, TypeError, termios.error)
"""What a port raises when it fails; TypeError when pyserial's descriptor vanishes in its hands."""

Kind = Literal["opened", "missing", "held", "denied", "refused", "lost", "no line"]
SAYS: dict[Kind, str] = {
    "opened": "{name} is open.",
    "missing": "{name} is not there: plug the sensor in, or name another port.",
    "held": "{name} is held by another program: close that program.",
    "denied": "{name} may not be opened by this user: add the user to the group dialout.",
    "refused": "{name} does not take its settings ({line}): check the sensor's profile.",
    "lost": "{name} was unplugged: plug the sensor in again.",
    "no line": "{name} has no input line {wire}: wire the handle's switch to another port, or "
    "leave handle out of the sensor's profile.",
}


class Chunk(NamedTuple):
    """Bytes and the time when they arrived."""

    data: bytes
    at_s: float


class PortNews(NamedTuple):
    """Something happened to the port; ``says`` tells it in a sentence."""

    kind: Kind
    name: str
    says: str
    at_s: float


class HandleSaid(NamedTuple):
    """The handle's switch says that it was let go, or is held."""

    released: bool
    at_s: float


Item = Chunk | PortNews | HandleSaid


class HandleWire(NamedTuple):
    """An input line of the port, and whether the handle is let go while it is on."""

    name: str
    on_is_released: bool

    def released(self, port: Any) -> bool:
        """What it tells now. Raises OSError where the port has no such lines."""
        on = bool(getattr(port, "cd" if self.name == "dcd" else self.name))
        return on == self.on_is_released


def handle_wire(profile: SensorProfile) -> HandleWire | None:
    """The line that a profile has the handle's switch on."""
    if profile.handle not in WIRES:
        return None
    return HandleWire(profile.handle, profile.handle_on == "released")


class Found(NamedTuple):
    """A port of this machine; ``adapter`` tells it from others under whatever name."""

    name: str
    words: str
    adapter: str


def ports() -> list[Found]:
    """The serial ports that there are."""
    found = []
    for port in sorted(list_ports.comports()):
        numbers = (port.vid, port.pid, port.serial_number)
        adapter = ":".join(str(part) for part in numbers) if port.vid is not None else ""
        found.append(Found(port.device, port.description or "", adapter))
    return found


class SerialPort:
    """One port by its name or URL, kept open from ``start`` to ``close``."""

    def __init__(
        self,
        name: str,
        line: SerialLine,
        clock: Callable[[], float] = time.monotonic,
        find: Callable[[], Sequence[Found]] = ports,
        first_wait_s: float = FIRST_WAIT_S,
        handle: HandleWire | None = None,
    ) -> None:
        self.name = name
        self._handle = handle
        self._released: bool | None = None
        self._line, self._clock, self._find = line, clock, find
        self._first_wait_s = first_wait_s
        self._adapter = ""
        self._told: Kind | None = None
        self._queue: deque[Item] = deque()
        self._queued = 0
        self.dropped = 0
        self._to_send: deque[bytes] = deque(maxlen=8)
        self._lock = threading.Lock()
        self._stop = threading.Event()
        self._thread = threading.Thread(target=self._own, name=f"port {name}", daemon=True)

    def start(self) -> None:
        """Let the owner thread open the port."""
        self._thread.start()

    def close(self) -> None:
        """Close the port and end the thread."""
        self._stop.set()
        if self._thread.is_alive():
            self._thread.join(2.0)

    def send(self, data: bytes) -> None:
        """Have bytes sent soon; what cannot be sent is dropped, a later question replaces it."""
        if data:
            self._to_send.append(data)

    def take(self) -> list[Item]:
        """Everything that came since the last call, oldest first."""
        with self._lock:
            taken = list(self._queue)
            self._queue.clear()
            self._queued = 0
        return taken

    def _put(self, item: Item) -> None:
        with self._lock:
            self._queue.append(item)
            self._queued += len(item.data) if isinstance(item, Chunk) else 0
            while self._queued > MOST_QUEUED:
                first = next(i for i, old in enumerate(self._queue) if isinstance(old, Chunk))
                old = self._queue[first]
                del self._queue[first]
                size = len(old.data) if isinstance(old, Chunk) else 0
                self._queued -= size
                self.dropped += size

    def _tell(self, kind: Kind) -> None:
        """Say a thing once, not at every try."""
        if kind == self._told:
            return
        self._told = kind
        parity = self._line.parity[0].upper()
        line = f"{self._line.baud} {self._line.data_bits}{parity}{self._line.stop_bits}"
        wire = self._handle.name if self._handle else ""
        says = SAYS[kind].format(name=self.name, line=line, wire=wire)
        self._put(PortNews(kind, self.name, says, self._clock()))

    def _own(self) -> None:
        wait_s = self._first_wait_s
        while not self._stop.is_set():
            opened = self._open()
            if opened is not None:
                wait_s = self._first_wait_s
                self._tell("opened")
                self._to_send.clear()
                self._serve(opened)
                if not self._stop.is_set():
                    self._tell("lost")
            self._stop.wait(wait_s)
            wait_s = min(wait_s * 2, LONGEST_WAIT_S)

    def _open(self) -> Any:
        self._follow_adapter()
        parity, line = _PARITY[self._line.parity], self._line
        try:
            port = serial.serial_for_url(
                self.name, baudrate=line.baud, bytesize=line.data_bits, parity=parity,
                stopbits=line.stop_bits, timeout=READ_S, write_timeout=WRITE_S, do_not_open=True,
            )  # fmt: skip
            if "://" not in self.name:
                port.exclusive = True
            port.open()
            _check_parity(port, line.parity)
        except (OSError, ValueError, termios.error) as error:
            self._tell(_kind_of(error))
            return None
        self._adapter = self._adapter or self._adapter_of(self.name)
        return port

    def _follow_adapter(self) -> None:
        """When the name is gone and the same adapter has another one, take that."""
        if not self._adapter or "://" in self.name or Path(self.name).exists():
            return
        same = [found.name for found in self._find() if found.adapter == self._adapter]
        if len(same) == 1:
            self.name = same[0]

    def _adapter_of(self, name: str) -> str:
        if "://" in name:
            return ""
        real = str(Path(name).resolve())
        return next((f.adapter for f in self._find() if f.name in (name, real)), "")

    def _serve(self, port: Any) -> None:
        """Move bytes until told to stop or the port fails; then close it."""
        self._released = None
        wired = self._handle is not None and self._has_lines(port)
        try:
            while not self._stop.is_set():
                if wired:
                    self._look_at_handle(port)
                data = port.read(min(max(port.in_waiting, 1), MOST_AT_ONCE))
                if data:
                    self._put(Chunk(data, self._clock()))
                if self._to_send:
                    self._write(port, self._to_send.popleft())
        except FAILURES:
            pass
        finally:
            _close(port)

    def _has_lines(self, port: Any) -> bool:
        """Whether the port can tell of the handle; one that cannot says so, and reads on."""
        try:
            self._look_at_handle(port)
        except (OSError, NotImplementedError):
            self._tell("no line")
            return False
        return True

    def _look_at_handle(self, port: Any) -> None:
        if self._handle is None:
            return
        released = self._handle.released(port)
        if released != self._released:
            self._released = released
            self._put(HandleSaid(released, self._clock()))

    def _write(self, port: Any, data: bytes) -> None:
        try:
            port.write(data)
        except serial.SerialTimeoutException:
            return  # the next question will do


def _check_parity(port: Any, parity: str) -> None:
    """Have the driver check the parity that pyserial has set, which it leaves unchecked (INPCK).

    A byte whose parity is wrong then comes as a NUL, which no reading has. Only a driver that tells
    of it does so; a pseudo-terminal and a socket have none to check.
    """
    if parity == "none" or not hasattr(port, "fd"):
        return
    settings = termios.tcgetattr(port.fd)
    settings[0] = (settings[0] | termios.INPCK) & ~(termios.IGNPAR | termios.PARMRK)
    termios.tcsetattr(port.fd, termios.TCSANOW, settings)


def _close(port: Any) -> None:
    try:
        port.close()
    except OSError:
        return  # it was gone already


def _kind_of(error: Exception) -> Kind:
    number = getattr(error, "errno", None)
    if number in (errno.EBUSY, errno.EAGAIN, errno.EWOULDBLOCK) or "exclusively lock" in str(error):
        return "held"
    if number in (errno.EACCES, errno.EPERM):
        return "denied"
    unset = isinstance(error, ValueError | termios.error) or "configure port" in str(error)
    if unset or number == errno.EINVAL:
        return "refused"
    return "missing"
