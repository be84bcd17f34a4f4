"""Single calculations from JSON: what a spreadsheet or a test asks, answered by the core."""
