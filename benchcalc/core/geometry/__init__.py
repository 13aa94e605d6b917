"""Vectors, frames, directions, and the shapes of bodies."""
