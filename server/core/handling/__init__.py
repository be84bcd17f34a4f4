"""Handling: how many people push or lift a case, and when hands are not enough."""
