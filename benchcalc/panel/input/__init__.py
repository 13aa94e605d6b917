"""From touches, keys and knobs to what was meant."""
