"""What the records of many benches teach about springback, learnt again from the records."""

from typing import Any

from benchcalc.core.springback.learning import Taught, together
from benchcalc.core.springback.lessons import learn_record, taught_plain
from benchcalc.shell.taught import TEACHING


def springback_state(taught: Taught) -> dict[str, Any]:
    """What was taught, as ``springback.json`` has it."""
    return {"benchcalc": 1, **taught_plain(taught)}


class Relearning:
    """Shown every record once, device by device; what each bench learnt adds up.

    Each bench is learnt apart, since an operator who begins a lot anew means that bench's lot.
    """

    def __init__(self) -> None:
        self._by_device: dict[str, Taught] = {}
        self._unread = 0

    def take(self, device: str, sequence: int, kind: str, body: dict[str, Any], day: str) -> None:
        """One record."""
        if kind in TEACHING:
            before = self._by_device.get(device, Taught())
            try:
                self._by_device[device] = learn_record(before, sequence, kind, body, day)
            except (KeyError, TypeError, ValueError, AttributeError):
                self._unread += 1  # of a form that this program does not know

    def state(self) -> dict[str, Any]:
        """What all of them teach together."""
        return {**springback_state(together(self._by_device.values())), "unread": self._unread}
