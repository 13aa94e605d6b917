"""The panel in English."""

from benchcalc.words.en.findings import FINDINGS
from benchcalc.words.en.help import HELP
from benchcalc.words.en.help_making import HELP_MAKING
from benchcalc.words.en.machine import MACHINE
from benchcalc.words.en.making import MAKING
from benchcalc.words.en.planning import PLANNING
from benchcalc.words.en.shapes import SHAPES
from benchcalc.words.en.words import WORDS

ENGLISH: dict[str, str] = {
    **PLANNING, **SHAPES, **MAKING, **MACHINE, **WORDS, **FINDINGS, **HELP, **HELP_MAKING,
}  # fmt: skip
