"""Whole units and figures: the smallest vocabulary, used everywhere."""
