"""Set this checkout up and run it, with Python 3.11 or newer and nothing else.

    python3 loom.py demo     a complete robot folder, planned, with its sheets
    python3 loom.py test     every check and every test of this project
    python3 loom.py setup    only the set-up, in the folder .venv

Any other words go to the `loomwright` command. The work is done in tools/bootstrap.py; this file is
written so that even a very old Python can read it, and say plainly that it is too old.
"""

import sys

if sys.version_info < (3, 11):
    sys.stderr.write(
        "loomwright needs Python 3.11 or newer, and this is Python %d.%d.\n"
        "Install a newer Python, and start again with it: python3.11 loom.py ...\n" % sys.version_info[:2]
    )
    sys.exit(2)

from tools.bootstrap import main

if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
