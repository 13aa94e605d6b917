"""Everything that may be wrong with a run, all of it at once: room, metal, wall, pressure."""
