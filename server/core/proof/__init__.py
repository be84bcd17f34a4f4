"""Certificates: bounds on a show that a small program checks without any solver."""
