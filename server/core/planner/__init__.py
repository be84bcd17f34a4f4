"""The planner: show → plan, the shortest straight rows that the rules allow."""
