"""What the bench costs, measured inside the emulated machine and on its emulated disk."""

from tests.bench.imports import SWITCH, in_words, paid
from tests.device.steps import Rehearsal, edit, first_bend, switch, to_first_pull
from tests.device.write_log import tally

IDLE_S = 30

IMPORTS = "journalctl --boot --output=cat --unit=benchcalc | grep '^import time'"

PROCESS = """p=$(systemctl show benchcalc --property MainPID --value)
cat /proc/$p/stat | cut -d' ' -f14,15
grep -h ctxt_switches /proc/$p/task/*/status | awk '{s += $2} END {print s}'
grep -E 'VmRSS|RssAnon' /proc/$p/status | tr '\\n' ' '; cat /proc/uptime; getconf CLK_TCK"""

BOOT = """systemd-analyze | head -n 1
systemctl show benchcalc | grep -E '^(ExecMainStart|ActiveEnter)TimestampMonotonic'
du -sm /opt/benchcalc | cut -f1
dpkg-query -W -f '${Installed-Size}\\n' | awk '{s += $1} END {print s/1024}'"""


def figures(r: Rehearsal) -> None:
    """Start, idle cost and memory of a machine of its own speed; size of what is installed."""
    edit(r, f"Environment={SWITCH}=1")
    switch(r, counted=True)
    r.say(f"imports at the start: {in_words(paid(r.machine.shell(IMPORTS)))}")
    edit(r)
    switch(r, counted=True)
    r.say(r.machine.shell(BOOT).replace("\n", "; "))
    r.machine.pause(10)
    before = _process(r)
    r.machine.pause(IDLE_S)
    after = _process(r)
    span_s = after[3] - before[3]
    core = (after[0] - before[0]) / after[4] / span_s
    wakes = (after[1] - before[1]) / span_s
    resident_mb = after[2] / 1024
    r.say(
        f"idle for {span_s:.0f} s: {core:.2%} of a core, {wakes:.1f} wake-ups a second, "
        f"{resident_mb:.0f} MB resident"
    )
    switch(r, counted=False)


def _process(r: Rehearsal) -> tuple[float, float, float, float, float]:
    """Processor ticks, context switches, resident kB, uptime in s, ticks a second."""
    lines = r.machine.shell(PROCESS).splitlines()
    ticks = sum(float(word) for word in lines[0].split())
    words = lines[2].split()
    return ticks, float(lines[1]), float(words[1]), float(words[6]), float(lines[3])


def bend_writes(r: Rehearsal) -> None:
    """What pulling, measuring and going on writes to the disk, per bend, and the syncs it takes."""
    log = r.machine.place / "writes.log"
    r.machine.shell("sync")
    quiet_from = tally(log)
    r.machine.pause(IDLE_S)
    quiet = tally(log)
    taps = to_first_pull(r)
    r.machine.shell("sync")
    before, count = tally(log), first_bend(r, taps)
    after = tally(log)
    r.say(
        f"one bend pulled twice, typed and judged ({count} taps): {after[1] - before[1]} bytes in "
        f"{after[0] - before[0]} writes, {after[2] - before[2]} flushes; {IDLE_S} s idle before: "
        f"{quiet[1] - quiet_from[1]} bytes, {quiet[2] - quiet_from[2]} flushes"
    )
    r.person.tap(*taps, "bench")
