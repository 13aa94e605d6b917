"""What the records of many benches teach about springback, learnt again from the records."""

from typing import Any

from benchcalc.core.springback.learning import Family, LotKey, Taught, taught_by_lots
from benchcalc.panel.state.lessons import learn_record, taught_plain
from benchcalc.shell.memory import TEACHING


def springback_state(taught: Taught) -> dict[str, Any]:
    """What was taught, as ``springback.json`` has it."""
    return {"benchcalc": 1, "lots": taught_plain(taught)}


class Relearning:
    """Shown every record once, device by device; what each bench learnt adds up.

    Each bench is learnt apart, since an operator who begins a lot anew means that bench's lot.
    """

    def __init__(self) -> None:
        self._by_device: dict[str, Taught] = {}
        self._unread = 0

    def take(self, device: str, sequence: int, kind: str, body: dict[str, Any]) -> None:
        """One record."""
        if kind in TEACHING:
            before = self._by_device.get(device, Taught())
            try:
                self._by_device[device] = learn_record(before, sequence, kind, body)
            except (KeyError, TypeError, ValueError, AttributeError):
                self._unread += 1  # of a form that this program does not know

    def state(self) -> dict[str, Any]:
        """What all of them teach together."""
        lots: dict[LotKey, Family] = {}
        for taught in self._by_device.values():
            for key, family in taught.lots.items():
                known = lots.get(key, Family())
                bends = known.bends + family.bends
                lots[key] = Family(known.evidence.plus(family.evidence), bends)
        return {**springback_state(taught_by_lots(lots)), "unread": self._unread}
