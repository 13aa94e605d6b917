"""What differs between two scenes, so that only that is painted anew."""

from collections.abc import Sequence

from benchcalc.report.scene import Picture, Scene, Shape


def differing(before: Scene, after: Scene) -> Sequence[Shape | Picture] | None:
    """The shapes of which only one scene has, None where all is to be painted.

    Shapes that both have lie over each other in the same order; where they do not, or where size
    or ground differ, what changed is not told by shapes alone.
    """
    if before.size != after.size or before.ground != after.ground:
        return None
    old, new = before.shapes, after.shapes
    first, shorter = 0, min(len(old), len(new))
    while first < shorter and old[first] == new[first]:
        first += 1
    last = 0
    while last < shorter - first and old[-1 - last] == new[-1 - last]:
        last += 1
    old, new = old[first : len(old) - last], new[first : len(new) - last]
    in_old, in_new = set(old), set(new)
    if [s for s in old if s in in_new] != [s for s in new if s in in_old]:
        return None
    return [*(s for s in old if s not in in_new), *(s for s in new if s not in in_old)]
