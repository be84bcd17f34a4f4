"""Securing: how many straps hold a row, and by which rule."""
