"""`python3 server ...`: make what is missing on this machine, then run the command."""

import os
import sys

ROOT = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))  # noqa: PTH100, PTH120
# Run as a folder, Python looks for modules inside it first; they are found from the checkout.
sys.path[0] = ROOT

# Words that need no built client to be answered.
HELP = {"-h", "--help", "--version"}


def main(words: list[str]) -> int:
    """Set up, then become the command; return a status only when set-up fails."""
    if sys.version_info < (3, 11):  # noqa: UP036  (an older Python is what this line is for)
        print(f"Rowcall needs Python 3.11 or newer; this is {sys.version.split()[0]}.")
        return 2
    if words == ["--version"]:
        from server.version import VERSION

        print(f"Rowcall {VERSION}")
        return 0
    from server.bootstrap.client import build_client
    from server.bootstrap.environment import become, make_environment
    from server.bootstrap.places import SetUpFailed, say, unusable
    from server.listening import refused_words

    try:
        # Known before minutes of set-up, so said before them.
        if serves(words) and (refused := refused_words(words, os.environ)):
            raise SetUpFailed(refused)
        make_environment()
        if serves(words):
            build_client()
    except SetUpFailed as failure:
        say(str(failure))
        return 2
    except OSError as failure:
        say(unusable(failure))
        return 2
    except KeyboardInterrupt:
        say("Set-up interrupted; the next start goes on from here.")
        return 130
    return become("server.cli", words)


def serves(words: list[str]) -> bool:
    """Return whether the command shows the client to anyone: only serving does."""
    return not HELP.intersection(words) and (
        not words or words[0] == "serve" or words[0].startswith("-")
    )


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
