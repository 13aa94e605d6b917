"""What the bench costs, measured inside the emulated machine and on its emulated disk."""

from tests.device.steps import PLANNED, Rehearsal, new_run, switch
from tests.device.write_log import tally
from tests.panel.journeys import SHORT_JOB

IDLE_S = 30

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
    new_run(r)
    taps = iter(SHORT_JOB[PLANNED:])
    while r.hands.shown != "pull":
        r.person.tap(next(taps))
    r.machine.shell("sync")
    before, count = tally(log), 0
    while r.hands.work.making is None or r.hands.work.making.place == 0:
        r.person.tap(next(taps))
        count += 1
    after = tally(log)
    r.say(
        f"one bend pulled twice, typed and judged ({count} taps): {after[1] - before[1]} bytes in "
        f"{after[0] - before[0]} writes, {after[2] - before[2]} flushes; {IDLE_S} s idle before: "
        f"{quiet[1] - quiet_from[1]} bytes, {quiet[2] - quiet_from[2]} flushes"
    )
    r.person.tap(*taps, "bench")
