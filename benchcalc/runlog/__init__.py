"""The bench's memory: what was made, from which lot, by which measurements."""
