"""The only rooms where things happen: screen, files, units, clock, store, loop."""
