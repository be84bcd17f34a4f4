"""Axle loads, payload, balance and the exchanges that mend them."""
