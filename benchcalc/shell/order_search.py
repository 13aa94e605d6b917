"""Looks for another order of bending beside the loop: it takes up to some seconds."""

import sys
import threading
import traceback

from benchcalc.core.clearance.order import best_order
from benchcalc.panel.state.messages import FindOrder, OrderFound


class OrderSearch:
    """At most one answer is waited for; a search that is asked for anew makes the old one idle."""

    def __init__(self) -> None:
        self._asked: FindOrder | None = None
        self._found: OrderFound | None = None

    @property
    def busy(self) -> bool:
        """Whether an answer is still to come."""
        return self._asked is not None

    def begin(self, asked: FindOrder) -> None:
        """Look for it on a thread of its own, which touches nothing but its answer."""
        self._asked, self._found = asked, None
        threading.Thread(target=self._search, args=(asked,), daemon=True).start()

    def look(self) -> OrderFound | None:
        """The answer, once."""
        found = self._found
        if found is None:
            return None
        self._asked, self._found = None, None
        return found

    def _search(self, asked: FindOrder) -> None:
        try:
            answer = searched(asked)
        except Exception:  # a fault of ours is no order, and no reason to stop the panel
            traceback.print_exc(file=sys.stderr)
            answer = OrderFound(asked.job)
        if self._asked is asked:
            self._found = answer


def searched(asked: FindOrder) -> OrderFound:
    """The answer, however long it takes."""
    proposal = best_order(asked.job, asked.springback)
    if proposal is None:
        return OrderFound(asked.job)
    held = tuple(end for _, end in proposal.steps)
    return OrderFound(asked.job, proposal.job.bending_order, held)
