"""The panel in Spanish."""

from benchcalc.words.es.findings import FINDINGS
from benchcalc.words.es.help import HELP
from benchcalc.words.es.help_making import HELP_MAKING
from benchcalc.words.es.machine import MACHINE
from benchcalc.words.es.making import MAKING
from benchcalc.words.es.planning import PLANNING
from benchcalc.words.es.shapes import SHAPES
from benchcalc.words.es.words import WORDS

SPANISH: dict[str, str] = {
    **PLANNING, **SHAPES, **MAKING, **MACHINE, **WORDS, **FINDINGS, **HELP, **HELP_MAKING,
}  # fmt: skip
