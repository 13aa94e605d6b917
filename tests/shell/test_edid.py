"""The screen's own word on its size."""

from pathlib import Path

import pytest

from benchcalc.shell.display.edid import BLOCK, HEADER, screen_mm, told_mm


def block(cm: tuple[int, int], mm: tuple[int, int] | None) -> bytes:
    """A made block: sizes in its head, and in its first timing when there is one."""
    made = bytearray(BLOCK)
    made[:8] = HEADER
    made[21:23] = bytes(cm)
    if mm is not None:
        made[54:56] = b"\x98\x0d"
        made[54 + 12], made[54 + 13] = mm[0] & 255, mm[1] & 255
        made[54 + 14] = (mm[0] >> 8) << 4 | mm[1] >> 8
    made[127] = -sum(made) % 256
    return bytes(made)


@pytest.mark.parametrize(
    ("cm", "mm", "told"),
    [
        ((15, 9), (154, 86), (154, 86)),
        ((52, 29), (527, 296), (527, 296)),
        ((15, 9), None, (150, 90)),
        ((15, 9), (16, 9), (150, 90)),  # a ratio in the size's place
        ((0, 0), (0, 0), None),
        ((160, 90), None, None),
    ],
)
def test_size(
    cm: tuple[int, int], mm: tuple[int, int] | None, told: tuple[float, float] | None
) -> None:
    assert screen_mm(block(cm, mm)) == told
    assert screen_mm(block(cm, mm) + b"more blocks") == told


def test_a_damaged_block_says_nothing() -> None:
    whole = block((15, 9), (154, 86))
    for at in range(BLOCK):
        damaged = bytearray(whole)
        damaged[at] ^= 1
        assert screen_mm(bytes(damaged)) is None
        assert screen_mm(whole[:at]) is None


def test_only_the_one_connected_screen_is_asked(tmp_path: Path) -> None:
    def plug(name: str, status: str, edid: bytes) -> None:
        folder = tmp_path / name
        folder.mkdir()
        (folder / "status").write_text(status + "\n")
        (folder / "edid").write_bytes(edid)

    assert told_mm(tmp_path) is None
    plug("card0-HDMI-A-1", "connected", block((15, 9), (154, 86)))
    plug("card0-HDMI-A-2", "disconnected", b"")
    (tmp_path / "card0-gone").mkdir()
    assert told_mm(tmp_path) == (154, 86)
    plug("card0-DSI-1", "connected", block((15, 9), None))
    assert told_mm(tmp_path) is None
