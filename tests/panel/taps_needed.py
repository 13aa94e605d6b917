"""How many taps a segment takes: ``python -m tests.panel.taps_needed`` prints the table."""

from itertools import product

from tests.panel.driver import Hands
from tests.panel.journeys import BENCH, typed

LEGS = ("85", "120", "1250")
BENDS = ("30", "45", "60", "90")
TURNS = ("0", "90", "-90", "180")


def taps_for(leg: str, bend: str, turn: str) -> int:
    """Taps for one more segment, by the keys that are there; checked to have come to it."""
    hands = Hands().tap(*BENCH, *typed("100", "next"), "quick 90", "next")
    count = 0
    for text in (leg, bend, "" if turn == "0" else turn):
        quick = f"quick {text}"
        names: tuple[str, ...] = typed(text, "next")
        if hands.scene.target(quick) is not None:
            names = (quick,) if hands.work.cursor.field == "turn" else (quick, "next")
        hands.tap(*names)
        count += len(names)
    row = hands.work.draft.rows[1]
    assert (row.leg, row.bend, row.turn or "0") == (leg, bend, turn)
    assert hands.work.cursor.row == 2
    return count


def table() -> dict[tuple[str, str, str], int]:
    """Every segment with its taps."""
    return {which: taps_for(*which) for which in product(LEGS, BENDS, TURNS)}


if __name__ == "__main__":
    for (leg, bend, turn), taps in table().items():
        print(f"leg {leg:>5}  bend {bend:>3}  turn {turn:>4}  {taps} taps")
