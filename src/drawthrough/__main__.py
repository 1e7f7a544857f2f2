"""`python -m drawthrough` is `drawthrough`."""

import sys

from drawthrough.cli import main

if __name__ == "__main__":
    sys.exit(main())
