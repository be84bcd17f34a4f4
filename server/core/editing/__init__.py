"""Edits of a plan by hand: rows kept, rows pinned, one step at a time."""
