"""What a shop owns and plans with: cases, codes, vehicles, shows, plans and fit."""
