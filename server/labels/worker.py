"""A process of its own that decodes photos, so that it can be limited in memory and killed.

Started by `photo_worker.py` as `python -m server.labels.worker MEMORY`. It says ready in one line
of JSON; then each request on stdin is a line of JSON (do, kind, width, height, cpu_seconds, size)
followed by that many bytes of photo, and each answer is one line of JSON. Anything unforeseen ends
the process, which the parent reports as a damaged photo.
"""

from __future__ import annotations

import json
import math
import signal
import sys
import time


def main() -> None:
    """Limit this process, only then load the picture libraries; answer until stdin closes."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # its parent ends it, by closing stdin
    _limit(int(sys.argv[1]))
    from server.labels.answering import answer  # noqa: PLC0415  (after the limits)

    requests, answers = sys.stdin.buffer, sys.stdout.buffer
    answers.write(b'{"ready": true}\n')
    answers.flush()
    while line := requests.readline():
        request = json.loads(line)
        data = requests.read(request["size"])
        _limit_effort(request["most_cpu_seconds"])
        answers.write(json.dumps(answer(request, data)).encode() + b"\n")
        answers.flush()


def _limit(memory: int) -> None:
    """Limit the memory where the system can; elsewhere the parent's limits on pixels must do."""
    try:
        import resource  # noqa: PLC0415  (POSIX alone has it)
    except ImportError:
        return
    resource.setrlimit(resource.RLIMIT_AS, (memory, memory))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def _limit_effort(seconds: int) -> None:
    """Allow so much more processor time; the system ends the process when that is used up."""
    try:
        import resource  # noqa: PLC0415  (POSIX alone has it)
    except ImportError:
        return
    _, hard = resource.getrlimit(resource.RLIMIT_CPU)
    resource.setrlimit(resource.RLIMIT_CPU, (math.ceil(time.process_time()) + seconds, hard))


if __name__ == "__main__":
    main()
