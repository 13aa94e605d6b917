"""Heights for the flags of marks, so that no flag lies on another or on another's pole."""

from collections.abc import Sequence


def flag_levels(flags: Sequence[tuple[float, float]]) -> list[int]:
    """The level of each flag, 0 the lowest, for flags given by place and width to the right of it.

    A flag stands higher than all that begin under it, so that its pole meets none of them.
    """
    levels = [0] * len(flags)
    order = sorted(range(len(flags)), key=lambda i: flags[i][0], reverse=True)
    for done, i in enumerate(order):
        place, width = flags[i]
        under = [levels[j] for j in order[:done] if flags[j][0] < place + width]
        levels[i] = max(under, default=-1) + 1
    return levels
