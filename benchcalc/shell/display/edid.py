"""The size of the screen as it tells of itself, in the 128 bytes that a display sends (EDID).

Source: VESA E-EDID Standard, Release A, sections 3.1, 3.6 and 3.10.2 (from memory).
"""

from pathlib import Path

from benchcalc.report.settings import LEAST_SIDE_MM, MOST_SIDE_MM

DRM = Path("/sys/class/drm")
BLOCK = 128
HEADER = b"\x00\xff\xff\xff\xff\xff\xff\x00"
SIZE_CM = 21
TIMING = 54


def screen_mm(edid: bytes) -> tuple[float, float] | None:
    """Width and height of the picture; None when the block is damaged or does not say.

    To the millimetre where the preferred timing has it, else to the centimetre.
    """
    block = edid[:BLOCK]
    if len(block) < BLOCK or not block.startswith(HEADER) or sum(block) % 256:
        return None
    timing = block[TIMING : TIMING + 18]
    if timing[0] or timing[1]:  # a pixel clock: this is a timing and no text
        width = timing[12] | (timing[14] & 0xF0) << 4
        height = timing[13] | (timing[14] & 0x0F) << 8
        if _believable(width, height):
            return (float(width), float(height))
    width, height = 10 * block[SIZE_CM], 10 * block[SIZE_CM + 1]
    return (float(width), float(height)) if _believable(width, height) else None


def _believable(width_mm: int, height_mm: int) -> bool:
    """Projectors and converters send nothing, or a ratio, in the size's place."""
    return all(LEAST_SIDE_MM <= side <= MOST_SIDE_MM for side in (width_mm, height_mm))


def told_mm(drm: Path = DRM) -> tuple[float, float] | None:
    """What the one connected screen tells; None with several, for it is not known which is ours."""
    told = []
    for connector in sorted(drm.glob("card*-*")):
        try:
            if (connector / "status").read_text().strip() == "connected":
                told.append(screen_mm((connector / "edid").read_bytes()))
        except OSError:
            continue  # unplugged while it was looked at
    return told[0] if len(told) == 1 else None
