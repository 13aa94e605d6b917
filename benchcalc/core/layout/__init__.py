"""The straight tube and the bent one: set-back, marks, cut length, path, what the hands turn."""
