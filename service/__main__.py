"""`python -m service COMMAND`."""

import sys

from service.cli import main

sys.exit(main(sys.argv[1:]))
