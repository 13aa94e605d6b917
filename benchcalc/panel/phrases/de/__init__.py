"""The panel in German."""

from benchcalc.panel.phrases.de.findings import FINDINGS
from benchcalc.panel.phrases.de.help import HELP
from benchcalc.panel.phrases.de.help_making import HELP_MAKING
from benchcalc.panel.phrases.de.machine import MACHINE
from benchcalc.panel.phrases.de.making import MAKING
from benchcalc.panel.phrases.de.planning import PLANNING
from benchcalc.panel.phrases.de.shapes import SHAPES
from benchcalc.panel.phrases.de.words import WORDS

GERMAN: dict[str, str] = {
    **PLANNING, **SHAPES, **MAKING, **MACHINE, **WORDS, **FINDINGS, **HELP, **HELP_MAKING,
}  # fmt: skip
