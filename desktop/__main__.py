"""Opens the notebook: ``python -m desktop [LESSON]``."""

import sys

from desktop.app import run

if __name__ == "__main__":
    sys.exit(run(sys.argv[1:]))
