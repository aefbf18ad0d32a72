"""How much: voltages and currents of a panel in one state, in numbers."""
