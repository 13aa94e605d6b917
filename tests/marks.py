"""Which tests wait to be asked for: the mark of each file, and what it needs.

Named by file or folder under tests, so that a file needs no line of its own. Where only a part of a
file is marked, its tests carry the mark themselves.
"""

from pathlib import Path, PurePath

TESTS = Path(__file__).parent

MARKS = {
    "libraries": "held against big libraries, which the extra [check] brings",
    "tools": "ruff and mypy, from the extra [check]",
    "browser": "a report as a browser shows it: chromium",
    "window": "the program in real windows: Xvfb, xdotool, ImageMagick",
    "slow": "what takes minutes: crashes, machines and streams at size",
}

FILES: dict[str, tuple[str, ...]] = {
    "libraries": (
        "core/test_least_change.py",
        "core/test_legs.py",
        "core/test_radius_holding.py",
        "core/test_section_elsewhere.py",
        "core/test_springback.py",
        "properties/test_against_solid_kernel.py",
        "properties/test_clearance_against_fcl.py",
        "properties/test_clearance_against_kernel.py",
        "properties/test_corrections.py",
        "properties/test_hands_that_stop_elsewhere.py",
        "properties/test_cutting_against_milp.py",
        "properties/test_points_and_rows.py",
        "properties/test_shapes_in_kernel.py",
        "properties/test_simulated_bender.py",
        "properties/test_swing_on_simulated_bender.py",
        "properties/test_turn_by_level.py",
        "properties/test_turns_by_hand.py",
        "properties/test_turns_told.py",
        "properties/test_wrong_turns.py",
        "runlog/test_engines.py",
        "runlog/test_questions.py",
    ),
    "tools": ("house/test_tools.py",),
    "browser": ("shell/test_printed_strip.py",),
    "window": ("shell/test_real_window.py",),
    "slow": (
        "crash",
        "device/test_guard.py",
        "device/test_try_release.py",
        "device/test_upgrade.py",
        "device/test_walk.py",
        "device/test_wheels.py",
        "panel/test_any_hands.py",
        "panel/test_making_screens.py",
        "panel/test_pages_turned.py",
        "panel/test_random_taps.py",
        "panel/test_ring.py",
        "panel/test_taps_needed.py",
        "panel/test_turns_by_level.py",
        "panel/test_two_places.py",
        "panel/test_undo.py",
        "panel/test_what_is_never_dropped.py",
        "properties/test_ports.py",
        "properties/test_simulated_bench.py",
        "properties/test_springback_worlds.py",
        "properties/test_ways_kept.py",
        "runlog/test_attacks.py",
        "runlog/test_store_damage.py",
        "runlog/test_store_kill.py",
        "screens/test_help.py",
        "screens/test_layout.py",
        "sensor/test_doubtful_bends.py",
        "sensor/test_flipped_bits.py",
        "sensor/test_fuzz.py",
        "sensor/test_simulated_bends.py",
        "shell/test_copy_loop.py",
        "shell/test_foreign_peers.py",
        "shell/test_frozen_line.py",
        "shell/test_job_file_fuzz.py",
        "shell/test_last_bend.py",
        "shell/test_no_traceback.py",
        "shell/test_port.py",
        "shell/test_sensing.py",
        "shell/test_sensor_soak.py",
        "shell/test_simulator.py",
        "shell/test_three_jobs.py",
    ),
}


def mark_of(path: Path) -> str | None:
    """The mark of all tests in a file, None where they are always run."""
    if not path.is_relative_to(TESTS):
        return None
    name = path.relative_to(TESTS)
    for mark, listed in FILES.items():
        if any(name.is_relative_to(PurePath(one)) for one in listed):
            return mark
    return None
