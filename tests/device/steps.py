"""What is rehearsed: each step works the machine from outside and says what it saw."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from itertools import chain
from random import Random

from benchcalc.panel.screens.aside.shelf import has_job
from tests.device.machine import Machine
from tests.device.person import Person, restarted, twin
from tests.panel.driver import Hands
from tests.panel.journeys import JOB, SHORT_JOB

PLANNED = SHORT_JOB.index("plan") + 1

WITHIN_S = 20.0
"""A panel that hangs is back on its step by then."""

EDITOR = """printf '#!/bin/sh\\nfor file; do :; done\\ncp /root/edited "$file"\\n' > /root/editor
chmod +x /root/editor"""
"""The file to edit comes last: Debian 13's systemctl names a line of it before."""


@dataclass
class Rehearsal:
    """The machine, whoever works it, dice, and where to say what was seen."""

    machine: Machine
    person: Person
    say: Callable[[str], None]
    dice: Random = field(default_factory=lambda: Random(5))
    cuts: int = 20

    @property
    def hands(self) -> Hands:
        """The panel as it should be."""
        return self.person.hands


def first_frame(r: Rehearsal) -> None:
    """Switched on, the panel comes up by itself."""
    r.machine.start()
    r.person.ask_screen_size()
    r.person.come_up()
    took = r.machine.now_s() - r.machine.started_s
    r.person.save("first-frame")
    r.say(f"from power to the first frame {took:.1f} s")


def job(r: Rehearsal) -> None:
    """A piece from an empty panel to a stored record, every tap seen on the screen."""
    started, before = r.machine.now_s(), r.person.taken
    for number, name in enumerate(JOB):
        r.person.tap(name)
        if r.hands.shown in ("cut", "seat", "check") and name == "next":
            r.person.save(r.hands.shown) if number % 3 == 0 else None
    r.person.save("stored")
    took = r.machine.now_s() - started
    taps = r.person.taken - before
    r.say(f"a piece made by {taps} taps in {took:.0f} s, each seen exactly as it should be")


def new_run(r: Rehearsal) -> None:
    """From wherever the panel is to an empty run on a bench set up; what was begun is put aside."""
    if r.hands.work.screen == "make":
        r.person.tap("plan")
    if r.hands.work.screen == "plan" and (r.hands.work.making or r.hands.work.draft.rows[0].leg):
        r.person.tap("bench")
    if r.hands.shown == "kept" or (r.hands.shown == "bench" and has_job(r.hands.work)):
        r.person.tap("new")
    if r.hands.work.screen == "bench":
        r.person.tap(*SHORT_JOB[:PLANNED])


def to_first_pull(r: Rehearsal) -> Iterator[str]:
    """A new piece up to its first pull; gives the taps that are left."""
    new_run(r)
    taps = iter(SHORT_JOB[PLANNED:])
    while r.hands.shown != "pull":
        r.person.tap(next(taps))
    return taps


def first_bend(r: Rehearsal, taps: Iterator[str]) -> int:
    """The first bend pulled, measured and judged, twice; gives the number of taps."""
    count = 0
    while r.hands.work.making is None or r.hands.work.making.place == 0:
        r.person.tap(next(taps))
        count += 1
    return count


def edit(r: Rehearsal, *lines: str) -> None:
    """``systemctl edit benchcalc`` by an editor that writes these lines; for the next start."""
    words = "\\n".join(("[Service]", *lines))
    r.machine.shell(f"printf '{words}\\n' > /root/edited; {EDITOR}")
    said = r.machine.shell("SYSTEMD_EDITOR=/root/editor systemctl edit benchcalc 2>&1")
    r.say(f"systemctl edit: {' '.join(lines) or 'nothing set'}; {said}")


def begin_anew(r: Rehearsal) -> None:
    """The panel is closed and started again, and is where it was."""
    r.machine.shell("systemctl restart benchcalc")
    r.person.come_up(restarted(r.hands))


def hang(r: Rehearsal) -> None:
    """The loop is stopped from outside; the watchdog ends it, and it comes back to its step.

    On a machine of its own speed, so that the time it takes is the machine's and not the host's.
    """
    new_run(r)
    r.person.tap("key 1", "key 2")
    switch(r, counted=True)
    before, since_s = _main_pid(r.machine), up_s(r.machine)
    r.machine.shell(f"kill -STOP {before}")
    while (now := _main_pid(r.machine)) in (before, "0"):
        assert up_s(r.machine) - since_s < 3 * WITHIN_S, "the watchdog did not end it"
    r.person.hands = restarted(r.hands)
    r.person.come_up()
    took_s = up_s(r.machine) - since_s
    r.person.tap("key 5")
    r.person.save("after-a-hang")
    r.say(f"process {before} stopped; {now} is back on the same step {took_s:.1f} s later")
    ended = r.machine.shell("journalctl -u benchcalc -o short-monotonic | tail -n 8")
    r.say(ended)
    assert "atchdog" in ended
    assert took_s < WITHIN_S, f"it took {took_s:.1f} s, more than {WITHIN_S} s"
    r.person.tap("back", "back", "back")
    switch(r, counted=False)


def switch(r: Rehearsal, counted: bool) -> None:
    """Shut the machine down and start it again, at its own speed or at the host's."""
    r.machine.shut_down()
    r.machine.start(counted)
    r.person.come_up(restarted(r.hands))


def up_s(machine: Machine) -> float:
    """The time that has passed inside."""
    return float(machine.shell("cat /proc/uptime").split()[0])


def _main_pid(machine: Machine) -> str:
    return machine.shell("systemctl show benchcalc --property MainPID --value").strip()


def power_cuts(r: Rehearsal) -> None:
    """Power cuts at random moments; what the screen had shown as taken is there again."""
    new_run(r)
    taps: Iterator[str] = _endless_taps()
    undone, from_tap = 0, r.person.taken
    for number in range(1, r.cuts + 1):
        for _ in range(r.dice.randrange(2, 9)):
            r.person.tap(next(taps))
        name = next(taps)
        r.person.turn_to(name)
        before, after = twin(r.hands), twin(r.hands)
        r.person.press(name)
        after.tap(name)
        r.machine.pause(r.dice.uniform(0.0, 0.5))
        r.machine.pull_plug()
        left = r.machine.settle_disk(r.dice)
        during = _cut_while_starting(r) if number % 4 == 0 else ""
        r.machine.start()
        taken = restarted(after)
        found = r.person.come_up(taken, restarted(before))
        kept = found is taken
        undone += not kept
        if not kept:
            taps = chain((name,), taps)
        r.say(
            f"cut {number}: {left.flushes} flushes, {left.bytes / 1e6:.1f} MB on the disk; of what "
            f"was not flushed {left.kept} blocks kept, {left.lost} lost{during}; back on "
            f"{found.shown!r}, the tap under way {'kept' if kept else 'not kept'}, "
            f"{len(found.records)} pieces"
        )
    r.person.save("after-the-cuts")
    acknowledged = r.person.taken - from_tap
    r.say(f"{r.cuts} cuts, {acknowledged} taps seen as taken, none lost; under way lost: {undone}")


def _cut_while_starting(r: Rehearsal) -> str:
    """The power comes and goes again while the machine starts."""
    after_s = r.dice.uniform(3.0, 40.0)
    r.machine.start()
    r.machine.pause(after_s)
    r.machine.pull_plug()
    r.machine.settle_disk(r.dice)
    return f", and again {after_s:.0f} s into the start"


def _endless_taps() -> Iterator[str]:
    """Piece after piece, each a new run on the same bench, from an empty planning screen on."""
    while True:
        yield from SHORT_JOB[PLANNED:]
        yield "new"
