"""Room for the tube: from itself, from the bender, from the bench; the order of bending."""
