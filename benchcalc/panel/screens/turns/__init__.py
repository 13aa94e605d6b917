"""The turn of a bend: measured with a level, or followed by a sensor across the tube."""
