"""The panel in English."""

from benchcalc.panel.phrases.en.findings import FINDINGS
from benchcalc.panel.phrases.en.help import HELP
from benchcalc.panel.phrases.en.help_making import HELP_MAKING
from benchcalc.panel.phrases.en.machine import MACHINE
from benchcalc.panel.phrases.en.making import MAKING
from benchcalc.panel.phrases.en.planning import PLANNING
from benchcalc.panel.phrases.en.shapes import SHAPES
from benchcalc.panel.phrases.en.words import WORDS

ENGLISH: dict[str, str] = {
    **PLANNING, **SHAPES, **MAKING, **MACHINE, **WORDS, **FINDINGS, **HELP, **HELP_MAKING,
}  # fmt: skip
