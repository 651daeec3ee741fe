"""How shots scatter: many arrows that differ as real ones do, their groups, and what makes them."""
