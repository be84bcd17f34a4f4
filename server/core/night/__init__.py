"""The fold of the night, below the tally: replay of events, what is due, weight, what is seen."""
