"""Large-neighbourhood search over ordered rows: every rule as a penalty, until none is broken."""
