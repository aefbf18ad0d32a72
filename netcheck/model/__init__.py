"""What a panel's text describes: devices, terminals, wires, with every name resolved.  Frozen."""
