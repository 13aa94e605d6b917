"""What is printed: a strip at true size to lay along the tube, a page a job, the cut list.

Sizes here are millimetres of paper.
"""
