"""The planning problem: task, deadline, answer and the plan that leaves."""
