"""Copies of the log: how one is made on any medium, what is in it, whether it is whole.

Several benches' copies become one collection here; tables and report follow from the records.
"""
