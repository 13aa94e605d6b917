"""The panel's phrases by name, in each language. Short, spoken, the trade's words.

The next act is a verb. Whoever adds a sentence adds it in every language: a test compares them.
"""

from typing import Literal

from benchcalc.words.de import GERMAN
from benchcalc.words.en import ENGLISH
from benchcalc.words.es import SPANISH

Language = Literal["en", "de", "es"]

PHRASES: dict[Language, dict[str, str]] = {"en": ENGLISH, "de": GERMAN, "es": SPANISH}
