"""What the program says, in each of its languages; a phrase is asked for by its name."""
