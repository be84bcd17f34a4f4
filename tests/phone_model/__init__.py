"""A second implementation, in Python, of what only the phone computes.

The server never needs it: the differential tests and the simulator compare the phone's answers,
steps, clock and typed codes with it, field by field.
"""
