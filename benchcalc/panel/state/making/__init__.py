"""Making a piece: its steps by one table, what was measured and judged of it, and its record."""
