"""Exact search of small shows: dynamic programming over multisets of cases, every rule inside."""
