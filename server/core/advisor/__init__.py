"""What to own and what to hire: a fleet in rows, what a change costs, the cheapest vehicles."""
