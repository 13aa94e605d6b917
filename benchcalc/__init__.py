"""benchcalc: from a straight stick of tube to a run that fits, at the bench."""

__version__ = "0.1.0"
