"""At the bench: a load traced, terminals metered, in one state of the panel."""
