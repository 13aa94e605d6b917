"""The panel in German."""

from benchcalc.words.de.findings import FINDINGS
from benchcalc.words.de.help import HELP
from benchcalc.words.de.help_making import HELP_MAKING
from benchcalc.words.de.machine import MACHINE
from benchcalc.words.de.making import MAKING
from benchcalc.words.de.planning import PLANNING
from benchcalc.words.de.shapes import SHAPES
from benchcalc.words.de.words import WORDS

GERMAN: dict[str, str] = {
    **PLANNING, **SHAPES, **MAKING, **MACHINE, **WORDS, **FINDINGS, **HELP, **HELP_MAKING,
}  # fmt: skip
