"""`python -m controlkit` is the `controlkit` command."""

import sys

from controlkit.cli import main

if __name__ == "__main__":
    sys.exit(main())
