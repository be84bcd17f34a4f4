"""First plans: greedy stacks, shelf, insertion, sets of vehicles."""
