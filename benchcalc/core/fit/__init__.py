"""Whether the far end arrives: the expected miss, the correction, the first piece."""
