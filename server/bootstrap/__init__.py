"""Set-up of a fresh machine: standard library only, run before the environment exists."""
