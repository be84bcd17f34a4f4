"""A plan from a plan: loaded rows kept, few moves."""
