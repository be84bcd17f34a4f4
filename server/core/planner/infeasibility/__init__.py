"""Why a load cannot go, what to leave, and the partial plan."""
