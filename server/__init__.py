"""Rowcall: rows that fit, loads that are held until all is right, nights that end complete."""
