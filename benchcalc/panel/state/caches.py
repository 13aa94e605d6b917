"""What the panel asks for again at every tap, worked out once."""

from functools import lru_cache

from benchcalc.core import (
    lengths,
    sheet,
)
from benchcalc.core.springback import first_guess as springback
from benchcalc.core.springback import learning

parse_length = lru_cache(256)(lengths.parse_length)
work_out = lru_cache(16)(sheet.work_out)
first_guess = lru_cache(16)(springback.first_guess)
springback_of = lru_cache(16)(learning.springback_of)
