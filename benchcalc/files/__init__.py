"""Opens what ``jobfile`` reads: files by their path, the shop's own and those that come along.

Raises the same problems, of files too that cannot be opened.
"""
