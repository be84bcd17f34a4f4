"""One request of the outside world a module; only the core and the ports are known here."""
