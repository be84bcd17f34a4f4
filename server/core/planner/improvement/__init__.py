"""Later goals that never cost floor: row order, alignment, balance, heavy low."""
