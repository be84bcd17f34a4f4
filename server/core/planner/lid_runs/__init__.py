"""The second formulation: runs of lids of one height side by side."""
