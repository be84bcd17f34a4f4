"""Lower bounds on floor length from relaxations."""
