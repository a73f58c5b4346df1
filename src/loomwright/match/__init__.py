"""One match and many, second by second: bus voltage, currents, heat, and what helps most."""
