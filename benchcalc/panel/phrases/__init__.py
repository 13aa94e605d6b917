"""The panel's phrases by name, in each language. Short, spoken, the trade's words.

The next act is a verb. Whoever adds a sentence adds it in every language: a test compares them.
"""

from benchcalc.panel.phrases.de import GERMAN
from benchcalc.panel.phrases.en import ENGLISH
from benchcalc.panel.phrases.es import SPANISH
from benchcalc.panel.settings import Language

PHRASES: dict[Language, dict[str, str]] = {"en": ENGLISH, "de": GERMAN, "es": SPANISH}
