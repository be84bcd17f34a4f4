"""`python3 tests [PART...]`: make what the tests need on this machine, then run them all."""

import os
import signal
import sys

ROOT = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))  # noqa: PTH100, PTH120
# Run as a folder, Python looks for modules inside it first; they are found from the checkout.
sys.path[0] = ROOT


def main(words: list[str]) -> int:
    """Set up, then become the runner; return a status only when set-up fails."""
    if sys.version_info < (3, 11):  # noqa: UP036  (an older Python is what this line is for)
        print(f"Rowcall needs Python 3.11 or newer; this is {sys.version.split()[0]}.")
        return 2
    from server.bootstrap.environment import TESTS_LOCK, become, make_environment
    from server.bootstrap.places import SetUpFailed, say, unusable

    try:
        make_environment()
        make_environment(TESTS_LOCK)
    except SetUpFailed as failure:
        say(str(failure))
        return 2
    except OSError as failure:
        say(unusable(failure))
        return 2
    except KeyboardInterrupt:
        say("Set-up interrupted; the next start goes on from here.")
        return 130
    # A shell that runs this in the background lets Ctrl-C be ignored; the tests send it.
    signal.signal(signal.SIGINT, signal.default_int_handler)
    # Hundreds of processes start from these files: compile each of them once.
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    return become("tests.support.runner", words)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
