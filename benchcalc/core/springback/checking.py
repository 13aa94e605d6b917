"""What a check of a gauge or of a bender's scale changes in what a bench was taught."""

from benchcalc.core.frozen import replace
from benchcalc.core.springback.gauge import Gauge, GaugeCheck, ScaleCheck
from benchcalc.core.springback.learning import Kept, Taught


def gauge_checked(taught: Taught, gauge: Gauge, check: GaugeCheck) -> Taught:
    """What is taught once a gauge was checked.

    What it reads wrong is taken off every reading from then on, so the bends of before its first
    check are set right here. A sensor reads pull and bend alike: there it cancels.
    """
    groups = taught.groups
    if gauge == "protractor" and gauge not in taught.gauges:
        groups = {
            group: bends if group.read else replace(bends, kept=_set_right(bends.kept, check))
            for group, bends in groups.items()
        }
    return replace(taught, groups=groups, gauges={**taught.gauges, gauge: check})


def _set_right(kept: tuple[Kept, ...], check: GaugeCheck) -> tuple[Kept, ...]:
    return tuple(
        one._replace(bent=replace(one.bent, released_deg=one.bent.released_deg - check.bias_deg))
        for one in kept
    )


def scale_checked(taught: Taught, bender: str, check: ScaleCheck) -> Taught:
    """What is taught once a bender's scale was compared with a gauge under load."""
    return replace(taught, scales={**taught.scales, bender: check})
