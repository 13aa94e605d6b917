"""Runs by name, by points, from port to port; the drawing that a job was made from."""
