"""A piece under way: what its bends and turns were measured at, and the rest re-aimed by that."""
