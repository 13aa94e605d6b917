"""The shop: the benders and materials that a job may name by key."""

from benchcalc.core.frozen import frozen
from benchcalc.core.job import Bender, Material


@frozen
class Shop:
    """What stands in the shop, in the order it is listed."""

    benders: tuple[Bender, ...]
    materials: tuple[Material, ...]

    def bender(self, key: str) -> Bender | None:
        """The bender profile with this key, or None."""
        return next((bender for bender in self.benders if bender.key == key), None)

    def material(self, key: str) -> Material | None:
        """The material with this key, or None."""
        return next((material for material in self.materials if material.key == key), None)
