"""The panel in Spanish."""

from benchcalc.panel.phrases.es.findings import FINDINGS
from benchcalc.panel.phrases.es.help import HELP
from benchcalc.panel.phrases.es.help_making import HELP_MAKING
from benchcalc.panel.phrases.es.machine import MACHINE
from benchcalc.panel.phrases.es.making import MAKING
from benchcalc.panel.phrases.es.planning import PLANNING
from benchcalc.panel.phrases.es.shapes import SHAPES
from benchcalc.panel.phrases.es.words import WORDS

SPANISH: dict[str, str] = {
    **PLANNING, **SHAPES, **MAKING, **MACHINE, **WORDS, **FINDINGS, **HELP, **HELP_MAKING,
}  # fmt: skip
