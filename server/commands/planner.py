"""The planner's worker: a process of its own that does the jobs of the queue and leaves.

Started by the server (`server/planning.py`), with its settings in the environment.
"""

from __future__ import annotations

import os
import signal
import sys


def main() -> int:
    """Work the queue off; on PostgreSQL many workers share one queue."""
    from server import create_app, ports_of
    from server.service.plan_show import work_off

    # Ctrl-C in the terminal of the server ends this too; the next start takes the job up again.
    signal.signal(signal.SIGINT, signal.SIG_DFL)
    # Phones come first: planning takes what processor time they leave.
    if hasattr(os, "nice"):
        os.nice(5)
    app = create_app()
    with app.app_context():
        work_off(ports_of(app))
    return 0


if __name__ == "__main__":
    sys.exit(main())
