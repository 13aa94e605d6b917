"""The transition table of ``settle`` as a picture for readers."""

from benchcalc.sensor.settling import FINAL, TABLE, Seen, State


def mermaid() -> str:
    """A Mermaid state diagram of the table: arrows that lead away, with all that takes them."""
    lines = ["stateDiagram-v2", "    [*] --> waiting"]
    for state, row in TABLE.items():
        ways: dict[State, list[Seen]] = {}
        for seen, after in row.items():
            if after != state:
                ways.setdefault(after, []).append(seen)
        lines += [f"    {state} --> {after}: {', '.join(seen)}" for after, seen in ways.items()]
    lines += [f"    {state} --> [*]" for state in FINAL]
    return "\n".join(lines) + "\n"
