"""Springback: the first guess, what a bench learns, what offcuts tell of a die."""
